"""Reads the fields of a record by their annotations, noting every fault on the way."""

from __future__ import annotations

import re
import types
import typing
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from typing import Any, Final, Literal, NamedTuple, Protocol, runtime_checkable

import msgspec

from latewood.messages import unread
from latewood.problems import Fault, escape, nearest
from latewood.provenance import Sourced
from latewood.quantities.refusals import UnitError

At = tuple[str, ...]


class _Missing:
    """The value of a field that could not be read."""


MISSING: Final = _Missing()


class Meaning(NamedTuple):
    """What a number says, in words, and the metric unit and dimension people read it in; None is a plain number."""

    doc: str
    unit: str | None
    dimension: str


@dataclass
class Reading:
    """What is shared while one file is read: the record's path, the faults so far, the numbers and references met."""

    path: str
    faults: list[Fault] = field(default_factory=list)
    numbers: dict[str, Sourced] = field(default_factory=dict)
    meanings: dict[str, Meaning] = field(default_factory=dict)
    references: list[tuple[str, str, str]] = field(default_factory=list)

    def fault(
        self, at: At, code: str, detail: str, *, expected: str | None = None, nearest: str | None = None
    ) -> _Missing:
        """Note one fault and return `MISSING`, so that reading goes on to the next."""
        pointer = "".join(f"/{escape(key)}" for key in at)
        self.faults.append(Fault(pointer=pointer, code=code, detail=detail, expected=expected, nearest=nearest))
        return MISSING

    def unread(self, at: At, error: UnitError) -> _Missing:
        """Note that a text is no quantity of this field."""
        self.faults.append(unread(error, "".join(f"/{escape(key)}" for key in at)))
        return MISSING

    def wrong_type(self, at: At, given: Any, expected: str) -> _Missing:
        """Note that a value is of the wrong TOML type."""
        return self.fault(at, "wrong-type", f"{_KIND_OF.get(type(given), 'this')} was given", expected=expected)

    def unknown(self, at: At, names: Iterable[str], known: Iterable[str]) -> None:
        """Note unknown keys, each with the nearest that is known."""
        known = list(known)
        for name in names:
            detail = "there is no such field here"
            self.fault((*at, name), "unknown-field", detail, nearest=nearest(name, known))


@runtime_checkable
class Reader(Protocol):
    """A marker in a field's annotation that reads the field itself."""

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return the value, or `MISSING` after noting a fault."""
        ...


@dataclass(frozen=True)
class Matching:
    """Text of a certain form, and that form in words."""

    pattern: str
    form: str

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return the text."""
        if not isinstance(raw, str):
            return reading.wrong_type(at, raw, self.form)
        if not re.fullmatch(self.pattern, raw):
            return reading.fault(at, "bad-text", f"{raw[:80]!r} does not have the right form", expected=self.form)
        return raw


@dataclass(frozen=True)
class Ref:
    """The id of a record of another kind; whether it exists is known only once all packs are read."""

    kind: str

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return the id and note the reference."""
        if not isinstance(raw, str) or not raw:
            return reading.wrong_type(at, raw, f"the id of a {self.kind} record")
        reading.references.append((".".join(at), self.kind, raw))
        return raw


def read_value(hint: Any, raw: Any, at: At, reading: Reading) -> Any:
    """Return what one field says."""
    hint, marks = _unwrap(hint)
    if marks:
        return marks[0].read(raw, at, reading)
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if hint is Any:
        return raw
    if origin is Literal:
        return _choice(arguments, raw, at, reading)
    if origin is tuple:
        return _list(arguments[0], raw, at, reading)
    if origin is not None and issubclass(origin, Mapping):
        return _table(arguments[1], raw, at, reading)
    if issubclass(hint, msgspec.Struct):
        return read_struct(hint, raw, at, reading)
    if type(raw) is not hint:
        return reading.wrong_type(at, raw, _KIND_OF[hint])
    if hint is str and not raw.strip():
        return reading.fault(at, "empty", "the text is empty", expected="text")
    return raw


def read_struct(
    struct: type[msgspec.Struct], raw: Any, at: At, reading: Reading, *, held: frozenset[str] = frozenset()
) -> Any:
    """Return a table read into a struct, or `MISSING` after noting every fault in it."""
    if not isinstance(raw, Mapping):
        return reading.wrong_type(at, raw, "a table")
    fields = {key: field for key, field in _fields(struct).items() if key not in held}
    reading.unknown(at, [key for key in raw if key not in fields], fields)
    values = {}
    for key, (name, hint, required) in fields.items():
        if key in raw:
            values[name] = read_value(hint, raw[key], (*at, key), reading)
        elif required:
            values[name] = reading.fault((*at, key), "missing", "the field is missing")
    return MISSING if MISSING in values.values() else struct(**values)


@cache
def _fields(struct: type[msgspec.Struct]) -> dict[str, tuple[str, Any, bool]]:
    """Return attribute, hint and whether it is required, by the key in the file."""
    hints = typing.get_type_hints(struct, include_extras=True)
    return {
        found.encode_name: (found.name, hints[found.name], found.required) for found in msgspec.structs.fields(struct)
    }


@cache
def _unwrap(hint: Any) -> tuple[Any, tuple[Reader, ...]]:
    """Return the bare type and the markers that read; optional means the key may be left out, TOML has no null."""
    marks: tuple[Reader, ...] = ()
    while typing.get_origin(hint) is typing.Annotated:
        marks += tuple(mark for mark in hint.__metadata__ if isinstance(mark, Reader))
        hint = hint.__origin__
    if typing.get_origin(hint) in (typing.Union, types.UnionType):
        (bare,) = (argument for argument in typing.get_args(hint) if argument is not type(None))
        inner, more = _unwrap(bare)
        return inner, marks + more
    return hint, marks


def _choice(words: tuple[Any, ...], raw: Any, at: At, reading: Reading) -> Any:
    if raw in words:
        return raw
    one_of = "one of " + ", ".join(str(word) for word in words)
    if not isinstance(raw, str):
        return reading.wrong_type(at, raw, one_of)
    close = nearest(raw, [str(word) for word in words])
    return reading.fault(at, "unknown-choice", f"{raw[:80]!r} is not known here", expected=one_of, nearest=close)


def _list(hint: Any, raw: Any, at: At, reading: Reading) -> Any:
    if not isinstance(raw, list):
        return reading.wrong_type(at, raw, "a list")
    names = [item["id"] if isinstance(item, Mapping) and isinstance(item.get("id"), str) else None for item in raw]
    for twice in sorted({name for name in names if name is not None and names.count(name) > 1}):
        reading.fault((*at, twice), "twice", "two entries of this list have the same id")
    found = [
        read_value(hint, item, (*at, name or str(i)), reading)
        for i, (name, item) in enumerate(zip(names, raw, strict=True))
    ]
    return MISSING if MISSING in found else tuple(found)


def _table(hint: Any, raw: Any, at: At, reading: Reading) -> Any:
    if not isinstance(raw, Mapping):
        return reading.wrong_type(at, raw, "a table")
    found = {key: read_value(hint, value, (*at, key), reading) for key, value in raw.items()}
    return MISSING if MISSING in found.values() else found


_KIND_OF: Final[dict[Any, str]] = {
    str: "text",
    bool: "true or false",
    int: "a whole number",
    float: "a number",
    date: "a date such as 2010-01-01",
    list: "a list",
    dict: "a table",
}
