"""Values of JSON against schemas, as far as listed words need it, and how they are written in a sentence."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from tests.contract.compatibility.shapes import Shape

TYPES: Final = ("array", "boolean", "integer", "null", "number", "object", "string")
#: Which types a limit speaks of.
LIMITED: Final = {
    "minimum": {"integer", "number"},
    "maximum": {"integer", "number"},
    "exclusiveMinimum": {"integer", "number"},
    "exclusiveMaximum": {"integer", "number"},
    "minLength": {"string"},
    "maxLength": {"string"},
    "minItems": {"array"},
    "maxItems": {"array"},
    "minProperties": {"object"},
    "maxProperties": {"object"},
}
EXCLUSIVE: Final = {
    "minimum": "exclusiveMinimum",
    "maximum": "exclusiveMaximum",
    "exclusiveMinimum": "minimum",
    "exclusiveMaximum": "maximum",
}


class Absent:
    """Stands for a keyword that is not there, which None, being a value, cannot."""

    def __repr__(self) -> str:
        return "none"


ABSENT: Final = Absent()


def types_of(words: Iterable[Any]) -> set[str]:
    """Return the JSON types of values."""
    return {type_of(word) for word in words}


def type_of(value: Any) -> str:
    """Return the JSON type of a value; a whole number is an integer however it is written."""
    match value:
        case bool():
            return "boolean"
        case None:
            return "null"
        case int():
            return "integer"
        case float():
            return "integer" if value.is_integer() else "number"
        case str():
            return "string"
        case list():
            return "array"
    return "object"


def same(one: Any, other: Any) -> bool:
    """Compare as JSON does: true is not 1."""
    return bool(one == other and isinstance(one, bool) == isinstance(other, bool))


def admits(schema: Shape, value: Any) -> bool:
    """Say whether a schema without alternatives takes a word or number."""
    if schema.words is not None:
        return any(same(value, word) for word in schema.words)
    kind = type_of(value)
    if kind not in schema.types and not (kind == "integer" and "number" in schema.types):
        return False
    if isinstance(value, str):
        length = schema.get("minLength", 0) <= len(value) <= schema.get("maxLength", len(value))
        return length and all(_found(pattern, value) for pattern in schema.patterns) and schema.get("format") is None
    if isinstance(value, int | float) and not isinstance(value, bool):
        return bool(
            schema.get("minimum", value) <= value <= schema.get("maximum", value)
            and not value <= schema.get("exclusiveMinimum", float("-inf"))
            and not value >= schema.get("exclusiveMaximum", float("inf"))
            and not value % schema.get("multipleOf", value or 1)
        )
    return value is None or isinstance(value, bool)


def _found(pattern: str, value: str) -> bool:
    # Python's $ also matches before a final line feed; ECMA-262's does not.
    return re.search(re.sub(r"(?<!\\)\$$", r"\\Z", pattern), value) is not None


def strictly_inside(schema: Shape, keyword: str, limit: float) -> float | None:
    """Return a limit held by the other kind of bound, where it lies inside the wanted one."""
    held = schema.get(EXCLUSIVE[keyword])
    if held is None:
        return None
    # At least 1 keeps above an exclusive 0, and not above an exclusive 1.
    return None if keyword.startswith("exclusive") and held == limit else float(held)


def shown(values: Iterable[Any]) -> str:
    """List values as JSON writes them."""
    return ", ".join(word(value) for value in values)


def word(value: Any) -> str:
    """Write one value as JSON does."""
    return "none" if value is None or value is ABSENT else json.dumps(value, ensure_ascii=False)


def listed(types: Iterable[str]) -> str:
    """List types."""
    found = set(types)
    return "anything" if found >= set(TYPES) else " or ".join(sorted(found))
