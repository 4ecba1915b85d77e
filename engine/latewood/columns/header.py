"""The header row: which columns are inputs of the calculator, in which unit, and which are carried through."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, Final

from latewood.columns.column_units import Unit, unit_for
from latewood.columns.splitter import Unreadable, cells_of
from latewood.problems import Fault, InputProblem, nearest
from latewood.quantities.units import UnitError
from latewood.wire import flat
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
        raise _refused("bad-quoting", "the quotation marks of the header do not match", "a header row such as RFC 4180")
    if all(len(cells) == 1 for cells in whole.values()):
        return next(iter(whole))
    able = [d for d, count in known.items() if count] or [d for d, cells in whole.items() if len(cells) > 1]
    if len(able) == 1:
        return able[0]
    detail = "the header can be read with more than one delimiter"
    raise _refused("ambiguous-delimiter", detail, "delimiter=comma, semicolon or tab")


def read(cells: list[str], reader: StructReader, carry: Collection[str], appended: Iterable[str]) -> Header:
    """Return the header; raise `InputProblem` with every fault in it."""
    if not any(cell.strip() for cell in cells):
        raise _refused("empty", "the table is empty", "a header row with names of inputs, then the rows")
    if len(cells) > MAX_COLUMNS:
        raise _refused("too-long", f"the table has {len(cells)} columns", f"at most {MAX_COLUMNS}")
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
            detail = f"column {name[:80]!r} is no input, but looks like one"
            faults.append(_fault(name, "unknown-field", detail, "the input's name, or carry= with this one", meant))
        else:
            carried.append(name)
    flat.tree([(one.name, "") for one in inputs], reader, faults)
    faults += _clashes(carried, list(appended))
    faults += _absent(carry, cells)
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
            faults.append(_fault(name, error.code, error.detail, error.expected, error.nearest))
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
            detail = f"column {name[:80]!r} has the name of one that would be added"
            yield _fault(name, "repeated", detail, "another name, or other outputs=")
        elif name in seen:
            yield _fault(name, "repeated", f"column {name[:80]!r} is there more than once", "each name once, or carry=")
        seen.add(name)


def _absent(carry: Collection[str], cells: Sequence[str]) -> Iterable[Fault]:
    there = {cell.strip() for cell in cells} | {_base(cell) for cell in cells}
    for name in sorted(set(carry) - there):
        detail = f"there is no column {name[:80]!r} to carry through"
        yield Fault(pointer="/carry", code="unknown-field", detail=detail, nearest=nearest(name, there))


def _missing(inputs: Sequence[Input], reader: StructReader) -> Iterable[Fault]:
    there = {one.name.partition(".")[0] for one in inputs}
    for entry in reader.entries.values():
        if entry.required and entry.name not in there:
            yield _fault(entry.name, "missing", "this column is required", entry.wanted)
    if not inputs:
        some = ", ".join(list(reader.entries)[:6])
        yield Fault(pointer="", code="missing", detail="no column is an input", expected=f"columns such as {some}")


def _fault(name: str, code: str, detail: str, expected: str | None = None, close: str | None = None) -> Fault:
    pointer = "".join("/" + step.replace("~", "~0").replace("/", "~1") for step in name[:200].split("."))
    return Fault(pointer=pointer, code=code, detail=detail, expected=expected, nearest=close)


def _refused(code: str, detail: str, expected: str) -> InputProblem:
    return InputProblem([Fault(pointer="", code=code, detail=detail, expected=expected)])
