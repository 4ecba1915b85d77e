"""Names that programs made from a contract carry: the component schemas its operations use."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from tests.contract.compatibility.shapes import Json, resolve

PREFIX: Final = "#/components/schemas/"


def renamed_schemas(old: Json, new: Json) -> Iterator[str]:
    """Yield each schema in use that is gone: generated clients name a type after it."""
    after = new.get("components", {}).get("schemas", {})
    for name in sorted(in_use(old)):
        if name not in after:
            yield f"schema {name}, a type in generated clients, is taken away or renamed"


def in_use(document: Json) -> set[str]:
    """Return the names of the schemas that the operations refer to, however far."""
    found: set[str] = set()
    seen: set[str] = set()
    waiting: list[Any] = [document.get("paths", {})]
    while waiting:
        node = waiting.pop()
        if isinstance(node, dict):
            reference = node.get("$ref")
            if isinstance(reference, str) and reference not in seen:
                seen.add(reference)
                if reference.startswith(PREFIX):
                    found.add(reference.removeprefix(PREFIX))
                waiting.append(resolve({"$ref": reference}, document))
            waiting.extend(part for key, part in node.items() if key not in ("example", "examples"))
        elif isinstance(node, list):
            waiting.extend(node)
    return found
