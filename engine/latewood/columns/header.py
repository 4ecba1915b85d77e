"""The header row: which columns are inputs of the calculator, in which unit, and which are carried through."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final

from latewood.columns.column_units import Unit, unit_for
from latewood.columns.splitter import Unreadable, cells_of
from latewood.messages import Code, Count, refusal, unread
from latewood.problems import Fault, InputProblem, suggestion
from latewood.quantities.units import UnitError
from latewood.wire import flat
from latewood.wire.flat import pointer_of
from latewood.wire.structs import ListReader, StructReader

MAX_COLUMNS: Final = 1000
#: How like an input's name a header must be to be taken for a misspelling of it: lenght, specie, aera.
ALIKE: Final = 0.75

_NAME = re.compile(r"[\w.-]+")
_WITH_UNIT = re.compile(r"([^\[\]]*?) *\[([^\[\]]*)\]")


@dataclass(slots=True)
class Input:
    """A column that is an input: its place in the row, its flat name, its reader, and its unit if it has one."""

    place: int
    name: str
    reader: Any
    unit: Unit | None = None

    @property
    def pointer(self) -> str:
        """The place of its values in the input."""
        return "/" + self.name.replace(".", "/")


@dataclass(frozen=True, slots=True)
class Header:
    """The header as it was given, and its input columns; every other column is carried through."""

    cells: list[str]
    inputs: list[Input]


def delimiter_of(text: str, reader: StructReader, *, final: bool) -> str | None:
    """Return the delimiter of a header; None where more text is needed.

    Raises `InputProblem` where two delimiters each make inputs of the header, or none does and several occur in it.
    """
    known: dict[str, int] = {}
    whole: dict[str, list[str]] = {}
    for delimiter in (",", ";", "\t"):
        try:
            found = cells_of(text, 0, delimiter, final=final)
        except Unreadable:
            continue
        if found is None:
            return None
        whole[delimiter] = found[0]
        known[delimiter] = sum(_names_input(_base(cell), reader) for cell in found[0])
    if not whole:
        raise InputProblem([refusal("header-quotation-marks", "")])
    if all(len(cells) == 1 for cells in whole.values()):
        return next(iter(whole))
    able = [d for d, count in known.items() if count] or [d for d, cells in whole.items() if len(cells) > 1]
    if len(able) == 1:
        return able[0]
    raise InputProblem([refusal("ambiguous-delimiter", "")])


def read(cells: list[str], reader: StructReader, carry: Collection[str], appended: Iterable[str]) -> Header:
    """Return the header; raise `InputProblem` with every fault in it."""
    if not any(cell.strip() for cell in cells):
        raise InputProblem([refusal("empty-table", "")])
    if len(cells) > MAX_COLUMNS:
        raise InputProblem([refusal("too-many-columns", "", columns=Count(len(cells)), most=Count(MAX_COLUMNS))])
    faults: list[Fault] = []
    inputs: list[Input] = []
    carried: list[str] = []
    for place, cell in enumerate(cells):
        name, unit = _named(cell)
        if name in carry or cell.strip() in carry or not name:
            continue
        first = name.partition(".")[0]
        if first in reader.entries or first in reader.later:
            inputs.append(_input(place, name, unit, reader, faults))
        elif (meant := misspelt(first, reader.entries)) is not None:
            faults.append(refusal("column-like-an-input", pointer_of(name), name=_shown(name), nearest=meant))
        else:
            carried.append(name)
    flat.tree([(one.name, "") for one in inputs], reader, faults)
    faults += _clashes(carried, list(appended))
    _find_absent(carry, cells, faults)
    faults += _missing(inputs, reader)
    if faults:
        raise InputProblem(faults)
    return Header(cells, inputs)


def misspelt(name: str, known: Collection[str]) -> str | None:
    """Return the input this name was probably meant to be: alike letter by letter, or but for case and joining."""
    fold = re.sub(r"[\W_]+", "_", name.strip()).casefold()
    matcher = SequenceMatcher(b=fold[:80])
    best, found = 0.0, None
    for one in known:
        matcher.set_seq1(one)
        if matcher.real_quick_ratio() > best and (alike := matcher.ratio()) > best:
            best, found = alike, one
    return found if best >= ALIKE else None


def _named(cell: str) -> tuple[str, str | None]:
    """Return the name a header gives and the unit in its brackets."""
    text = cell.strip()
    found = _WITH_UNIT.fullmatch(text)
    return (found[1].strip(), found[2].strip()) if found else (text, None)


def _base(cell: str) -> str:
    return _named(cell)[0]


def _names_input(name: str, reader: StructReader) -> bool:
    return _NAME.fullmatch(name) is not None and name.partition(".")[0] in reader.entries


def _input(place: int, name: str, unit: str | None, reader: StructReader, faults: list[Fault]) -> Input:
    column = Input(place, name, _reader_of(name, reader))
    if unit is not None and column.reader is not None:
        try:
            column.unit = unit_for(column.reader, unit)
        except UnitError as error:
            faults.append(unread(error, pointer_of(name)))
    return column


def _reader_of(name: str, reader: Any) -> Any:
    """Return the reader of a flat name, None where it names nothing; `flat.tree` says why."""
    for step in name.split("."):
        if isinstance(reader, StructReader) and step in reader.entries:
            reader = reader.entries[step].reader
        elif isinstance(reader, ListReader) and step.isdigit():
            reader = reader.item
        else:
            return None
    return reader.item if isinstance(reader, ListReader) else reader


def _clashes(carried: Sequence[str], appended: Sequence[str]) -> Iterable[Fault]:
    added = {_base(one) for one in appended}
    seen: set[str] = set()
    for name in carried:
        if name in added:
            yield refusal("column-of-an-output", pointer_of(name), name=_shown(name))
        elif name in seen:
            yield refusal("column-twice", pointer_of(name), name=_shown(name))
        seen.add(name)


def _find_absent(carry: Collection[str], cells: Sequence[str], faults: list[Fault]) -> None:
    there = {cell.strip() for cell in cells} | {_base(cell) for cell in cells}
    for name in sorted(set(carry) - there):
        close = suggestion(name, there, faults)
        faults.append(refusal("no-column-to-carry", "/carry", name=_shown(name), nearest=close))


def _missing(inputs: Sequence[Input], reader: StructReader) -> Iterable[Fault]:
    there = {one.name.partition(".")[0] for one in inputs}
    for entry in reader.entries.values():
        if entry.required and entry.name not in there:
            yield refusal("column-required", pointer_of(entry.name), wanted=entry.wanted)
    if not inputs:
        yield refusal("no-input-column", "", names=[Code(name) for name in list(reader.entries)[:6]])


def _shown(name: str) -> Code:
    return Code(repr(name[:80]))
