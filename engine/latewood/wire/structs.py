"""Readers of objects and lists, made from the structs a calculator declares."""

from __future__ import annotations

import types
import typing
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause, Code, Count, Prose, clause
from latewood.problems import escape
from latewood.provenance import Number
from latewood.quantities.series import Series
from latewood.wire.components import Components, camel
from latewood.wire.context import MISSING, Context
from latewood.wire.from_python import OF_JSON, plain
from latewood.wire.languages import parsed_reader
from latewood.wire.quantity_reader import QuantityReader
from latewood.wire.scalars import (
    ChoiceReader,
    FlagReader,
    Reader,
    RefReader,
    TextReader,
    WholeReader,
)
from latewood.wire.series import SeriesReader


@dataclass(frozen=True, slots=True)
class Entry:
    """One field of an object."""

    name: str
    reader: Reader
    required: bool
    default: Any

    @property
    def wanted(self) -> Clause:
        """What to give here: the meaning of the field, and an example where a short one is declared."""
        example = getattr(getattr(self.reader, "q", None) or getattr(self.reader, "f", None), "example", None)
        meaning = Prose("field", self.reader.doc, "meaning", self.reader.doc)
        if isinstance(example, str | int):
            return clause("form-such-as", meaning=meaning, example=Code(example))
        return clause("form-meaning", meaning=meaning)


@dataclass(frozen=True)
class StructReader:
    """An object with known fields; anything else in it is refused by name, with the nearest known one."""

    doc: str
    struct: type[msgspec.Struct]
    entries: Mapping[str, Entry]
    later: frozenset[str] = frozenset()

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the struct, or `MISSING` after noting every fault in it."""
        if not isinstance(raw, Mapping):
            return ctx.wrong_type(at, raw, clause("form-object", names=[Code(name) for name in list(self.entries)[:6]]))
        values: dict[str, Any] = {}
        whole = True
        for name in raw:
            if name in self.entries:
                continue
            whole = False
            if name in self.later:
                ctx.refuse("field-of-later", f"{at}/{escape(name)}", name=Code(name))
            else:
                ctx.unknown_name(f"{at}/{escape(name)}", name, self.entries)
        for name, entry in self.entries.items():
            if name not in raw:
                if entry.required:
                    whole = False
                    ctx.refuse("required", f"{at}/{name}", wanted=entry.wanted)
                continue
            value = raw[name]
            if type(value) not in OF_JSON:
                value = plain(value)
            value = entry.reader.read(value, f"{at}/{name}", ctx)
            whole = whole and value is not MISSING
            values[name] = value
        return self.struct(**values) if whole else MISSING

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to a closed object schema."""
        name = component_name(self.struct)
        if parts.claim(name, (self.struct, "request")):
            properties = {}
            for entry in self.entries.values():
                schema = entry.reader.schema(parts)
                extra = {"description": entry.reader.doc}
                properties[entry.name] = {"allOf": [schema], **extra} if "$ref" in schema else {**schema, **extra}
            parts.found[name] = {
                "type": "object",
                "description": self.doc,
                "properties": properties,
                "required": [entry.name for entry in self.entries.values() if entry.required],
                "additionalProperties": False,
            }
            if not parts.found[name]["required"]:
                del parts.found[name]["required"]
        return parts.ref(name)


@dataclass(frozen=True, slots=True)
class ListReader:
    """A list of values of one kind."""

    f: F
    item: Reader

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return a tuple."""
        if ctx.textual and isinstance(raw, str):
            raw = [raw]
        if not isinstance(raw, list):
            return ctx.wrong_type(at, raw, clause("form-list"))
        if not (self.f.ge or 0) <= len(raw) <= self.f.max_items:
            least, most = Count(self.f.ge or 0), Count(self.f.max_items)
            return ctx.refuse("list-length", at, count=Count(len(raw)), least=least, most=most)
        items = raw if OF_JSON.issuperset(map(type, raw)) else map(plain, raw)
        values = [self.item.read(item, f"{at}/{index}", ctx) for index, item in enumerate(items)]
        return MISSING if any(value is MISSING for value in values) else tuple(values)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return an array."""
        found: dict[str, Any] = {"type": "array", "items": self.item.schema(parts), "maxItems": self.f.max_items}
        if self.f.ge:
            found["minItems"] = self.f.ge
        return found


def component_name(struct: type[msgspec.Struct]) -> str:
    """Return the schema name of a struct: the calculator's id gives Inputs and Result their full names."""
    calculator: str | None = getattr(struct, "CALCULATOR", None)
    return struct.__name__ if calculator is None else camel(calculator) + struct.__name__


def unwrap(hint: Any) -> tuple[Any, Any]:
    """Return a field's type without Annotated and None, and its `Q` or `F`."""
    mark = None
    while True:
        if typing.get_origin(hint) is typing.Annotated:
            mark = next((m for m in hint.__metadata__ if isinstance(m, Q | F)), mark)
            hint = typing.get_args(hint)[0]
            continue
        arguments = typing.get_args(hint)
        if (hint != Number and isinstance(hint, types.UnionType)) or typing.get_origin(hint) is typing.Union:
            rest = [a for a in arguments if a is not type(None)]
            if len(rest) == 1:
                hint = rest[0]
                continue
            if len(rest) < len(arguments):
                hint = typing.Union[tuple(rest)]  # noqa: UP007 - built from a tuple
                continue
        return hint, mark


def reader_of(hint: Any) -> Reader:
    """Return the reader of one annotated type."""
    bare, mark = unwrap(hint)
    if isinstance(mark, Q):
        return SeriesReader.of(mark) if bare is Series else QuantityReader.of(mark)
    if is_object(bare):
        if (parsed := parsed_reader(bare, mark)) is not None:
            return parsed
        return struct_reader(bare, mark.doc if mark else None)
    if mark is None:
        raise TypeError(f"{hint} has neither Q nor F")
    if (parsed := parsed_reader(bare, mark)) is not None:
        return parsed
    if (named := _reference(bare)) is not None:
        return RefReader(mark, *named)
    if typing.get_origin(bare) is tuple:
        return ListReader(mark, _item_reader(typing.get_args(bare)[0], mark))
    if typing.get_origin(bare) is typing.Literal:
        return ChoiceReader(mark, typing.get_args(bare))
    simple: dict[Any, Any] = {bool: FlagReader, int: WholeReader, str: TextReader}
    if bare in simple:
        reader: Reader = simple[bare](mark)
        return reader
    raise TypeError(f"no reader for {hint}")


def _reference(bare: Any) -> tuple[str, tuple[str, ...]] | None:
    """Return the kind of record a type names, and the words that may stand in its place; None for other types."""
    if hasattr(bare, "KIND"):
        return bare.KIND, ()
    if typing.get_origin(bare) is typing.Union and bare != Number:
        record, words = typing.get_args(bare)
        return record.KIND, typing.get_args(words)
    return None


def _item_reader(hint: Any, outer: F) -> Reader:
    """Return the reader of a list's items; what the list says holds for items that say nothing."""
    bare, mark = unwrap(hint)
    if mark is None and not (isinstance(bare, type) and issubclass(bare, msgspec.Struct)):
        return reader_of(typing.Annotated[hint, outer])
    return reader_of(hint)


@cache
def hints_of(struct: type[msgspec.Struct]) -> dict[str, Any]:
    """Return the annotations of a struct by field: reading them anew takes longer than a calculation."""
    return typing.get_type_hints(struct, include_extras=True)


def is_object(bare: Any) -> bool:
    """Say whether a type is written as an object with fields of its own: a record is its id, a clause is a text."""
    kept = isinstance(bare, type) and issubclass(bare, msgspec.Struct)
    return kept and bare is not Clause and not hasattr(bare, "KIND")


@cache
def struct_reader(struct: type[msgspec.Struct], doc: str | None = None) -> StructReader:
    """Return the reader of a struct, one entry a field."""
    hints = hints_of(struct)
    entries = {
        f.name: Entry(f.name, reader_of(hints[f.name]), f.required, None if f.required else f.default)
        for f in msgspec.structs.fields(struct)
    }
    text = doc or (struct.__doc__ or "").strip().split("\n")[0]
    return StructReader(text, struct, entries, getattr(struct, "LATER", frozenset()))
