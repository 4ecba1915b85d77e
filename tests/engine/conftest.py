"""One engine for all engine tests, and requests made from schemas."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from hypothesis import strategies as st
from tests.bundled import bundled

from latewood import cache
from latewood.catalogue import Catalogue
from latewood.formulas.tridiagonal import Tridiagonal
from latewood.wire.languages import EARLIEST, LATEST
from latewood.wire.quantity_reader import QuantityReader
from latewood.wire.scalars import (
    ChoiceReader,
    FlagReader,
    RefReader,
    TextReader,
    WholeReader,
)
from latewood.wire.series import SeriesReader
from latewood.wire.structs import ListReader, StructReader

Schema = Mapping[str, Any]


@pytest.fixture(scope="session")
def lw() -> Catalogue:
    return bundled()


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder in which what is read is kept from one start to the next."""
    monkeypatch.setenv(cache.VARIABLE, str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def solved(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """Note how many boards each step of the model of drying solves: its work, on any machine."""
    counts: list[int] = []
    real = Tridiagonal.solve

    def solve(self: Tridiagonal, right: Any) -> Any:
        counts.append(len(right))
        return real(self, right)

    monkeypatch.setattr(Tridiagonal, "solve", solve)
    return counts


def _pattern(_: Any, pattern: str, given: Any, __: Any) -> Iterator[jsonschema.ValidationError]:
    # ECMA-262 has `$` match at the very end only; Python also before a last line feed.
    if isinstance(given, str) and not re.search(re.sub(r"\$$", r"\\Z", pattern), given):
        yield jsonschema.ValidationError(f"{given!r} does not match {pattern!r}")


Checker: Any = jsonschema.validators.extend(jsonschema.Draft202012Validator, {"pattern": _pattern})


@pytest.fixture(scope="session")
def valid() -> Callable[[Schema, Mapping[str, Schema], Any], bool]:
    """Say whether a value is valid by a schema and the parts it refers to."""

    def check(schema: Schema, parts: Mapping[str, Schema], given: Any) -> bool:
        return bool(Checker({**schema, "$defs": parts}, format_checker=Checker.FORMAT_CHECKER).is_valid(given))

    return check


#: Any JSON value, as somebody who does not read contracts sends it.
ANYTHING = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(10**6), 10**6)
    | st.floats(allow_nan=False, width=32)
    | st.text(max_size=9),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=6), inner, max_size=3),
    max_leaves=6,
)


@pytest.fixture(scope="session")
def anything() -> Any:
    return ANYTHING


@pytest.fixture(scope="session")
def made_from() -> Callable[..., st.SearchStrategy[Any]]:
    """Return a strategy of values that are valid by a schema; ids of records are mostly ones that exist."""

    def strategy(schema: Schema, parts: Mapping[str, Schema], ids: Callable[[str], list[str]]) -> Any:
        return _values(schema, parts, ids)

    return strategy


def _values(schema: Schema, parts: Mapping[str, Schema], ids: Callable[[str], list[str]]) -> st.SearchStrategy[Any]:
    def inner(one: Schema) -> st.SearchStrategy[Any]:
        return _values(one, parts, ids)

    if "$ref" in schema:
        return st.deferred(lambda: inner(parts[schema["$ref"].rpartition("/")[2]]))
    if "allOf" in schema:
        (only,) = schema["allOf"]
        return inner(only)
    if "const" in schema:
        return st.just(schema["const"])
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    if "anyOf" in schema and "properties" not in schema:
        return st.one_of([inner(one) for one in schema["anyOf"]])
    match schema["type"]:
        case [first, "null"]:
            return inner({**schema, "type": first}) | st.none()
        case "object":
            return _objects(schema, inner)
        case "array":
            most = min(schema.get("maxItems", 3), 3)
            return st.lists(inner(schema["items"]), min_size=schema.get("minItems", 0), max_size=most)
        case "integer":
            near = st.integers(schema.get("minimum", -9), schema.get("maximum", 9))
            return near | near.map(float)
        case "number":
            return st.floats(-20, 400, width=32) | st.sampled_from([0, 1, 12, 1e300, -1e-300])
        case "boolean":
            return st.booleans()
    return _texts(schema, ids)


def _objects(schema: Schema, inner: Callable[[Schema], st.SearchStrategy[Any]]) -> st.SearchStrategy[Any]:
    fields = {name: inner(one) for name, one in schema["properties"].items()}
    must = set(schema.get("required", ()))
    for choice in schema.get("anyOf", [{"required": []}])[:1]:
        must |= set(choice["required"])
    tied = schema.get("dependentRequired", {})

    def whole(given: dict[str, Any]) -> bool:
        return all(other in given for name, others in tied.items() if name in given for other in others)

    return st.fixed_dictionaries(
        {name: one for name, one in fields.items() if name in must},
        optional={name: one for name, one in fields.items() if name not in must},
    ).filter(whole)


def _texts(schema: Schema, ids: Callable[[str], list[str]]) -> st.SearchStrategy[Any]:
    if "x-catalogue" in schema:
        known = st.sampled_from(ids(schema["x-catalogue"]))
        return st.one_of(known, known, known, st.text(max_size=12))
    if schema.get("format") == "date":
        return st.dates().map(str)
    most = schema["maxLength"]
    texts = st.from_regex(
        schema["pattern"].replace("$", r"\Z") if schema["pattern"].endswith("$") else schema["pattern"]
    )
    return texts.filter(lambda text: len(text) <= most)


@pytest.fixture(scope="session")
def sensible() -> Callable[..., st.SearchStrategy[Any]]:
    """Return a strategy of requests whose every value lies within its own field's bounds."""
    return _sensible


def _sensible(reader: Any, ids: Callable[[str], list[str]]) -> st.SearchStrategy[Any]:
    match reader:
        case StructReader():
            made = {name: _sensible(entry.reader, ids) for name, entry in reader.entries.items()}
            must = {name for name, entry in reader.entries.items() if entry.required}
            return st.fixed_dictionaries(
                {name: one for name, one in made.items() if name in must},
                optional={name: one for name, one in made.items() if name not in must},
            )
        case ListReader():
            return st.lists(_sensible(reader.item, ids), min_size=reader.f.ge or 0, max_size=min(reader.f.max_items, 3))
        case QuantityReader():
            return _amounts(reader.q)
        case SeriesReader():
            numbers = st.none() | st.floats(reader.q.ge, reader.q.le)
            return st.fixed_dictionaries({"unit": st.just(reader.q.unit), "values": st.lists(numbers, min_size=1)})
        case WholeReader():
            return st.integers(reader.f.ge, reader.f.le)
        case FlagReader():
            return st.booleans()
        case ChoiceReader():
            return st.sampled_from(reader.words)
        case RefReader():
            return st.sampled_from(ids(reader.kind))
        case TextReader() if reader.f.pattern:
            words = [word for word in ("main", "north", "US", "US-CA", "DE") if re.search(reader.f.pattern, word)]
            return st.sampled_from(words) if words else st.just(reader.f.example)
        case TextReader():
            return st.text("abc -", max_size=reader.f.max_length)
    return st.just(reader.f.example) if reader.f.example else st.dates(EARLIEST, LATEST).map(str)


def _amounts(q: Any) -> st.SearchStrategy[Any]:
    ends = st.sampled_from([q.ge, q.le])
    inside = st.floats(0, 1).map(lambda share: q.ge + share**4 * (q.le - q.ge))
    numbers = ends | inside | inside
    point = numbers.map(lambda value: {"value": value, "unit": q.unit}) | st.just(q.example)
    if not q.uncertain:
        return point
    return point | st.tuples(numbers, numbers).map(sorted).map(lambda p: {"low": p[0], "high": p[1], "unit": q.unit})
