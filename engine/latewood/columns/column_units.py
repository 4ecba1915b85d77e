"""A unit that stands for a whole column: in its header, or in a row of units under the header."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from latewood.messages import Code, refusal, unread
from latewood.problems import InputProblem
from latewood.quantities import money, units
from latewood.quantities.refusals import AMBIGUOUS, unit_error
from latewood.quantities.units import DIMENSIONS, UnitError
from latewood.wire.context import Context
from latewood.wire.languages import ParsedReader
from latewood.wire.quantity_reader import QuantityReader

# A number or a range and nothing after it; whether it is a good one is for the reader of the field to say.
_BARE = re.compile(r"(?:[0-9.,;/ +\u2013-]|[eE](?=[+-]?[0-9])|to(?= ))+")


@dataclass(frozen=True, slots=True)
class Unit:
    """The unit of a column."""

    text: str

    def join(self, cell: str, pointer: str, ctx: Context) -> str:
        """Return a cell with its unit; note a fault where it has another one of its own."""
        if _BARE.fullmatch(cell):
            return f"{cell} {self.text}"
        if not cell.endswith(self.text) and cell[0] in "0123456789+-.":
            ctx.refuse("cell-of-other-unit", pointer, unit=Code(self.text))
        return cell


def takes_unit(reader: Any) -> bool:
    """Say whether values of this reader have a unit."""
    return _kind(reader) is not None


def takes_decimals(reader: Any) -> bool:
    """Say whether the decimal mark of these values can be seen: not in outlines, where commas separate points."""
    return _kind(reader) in ("quantity", "money")


def unit_for(reader: Any, text: str) -> Unit:
    """Return the unit of a column; raise `UnitError` where it is none of the field's."""
    match _kind(reader):
        case "quantity":
            dimension = DIMENSIONS[reader.q.dimension]
            shares = units.spellings("fraction") if reader.q.or_share else ()
            if text not in units.spellings(reader.q.dimension) + shares:
                raise unit_error(text, dimension, reader.q.example or dimension.example)
        case "money":
            money.read_money(f"1 {text}")
        case "outline":
            if text not in units.spellings("length"):
                raise unit_error(text, DIMENSIONS["length"], DIMENSIONS["length"].example)
        case _:
            raise UnitError("column-without-unit")
    return Unit(text)


def _kind(reader: Any) -> str | None:
    if isinstance(reader, QuantityReader):
        return "quantity"
    if isinstance(reader, ParsedReader):
        patterns = {money.PATTERN: "money", units.OUTLINE_PATTERN: "outline"}
        return patterns.get(reader.text_schema.get("pattern", ""))
    return None


def is_unit_row(cells: Sequence[str], inputs: Sequence[Any]) -> bool:
    """Say whether the row under the header holds units; raise `InputProblem` where it is half one."""
    able = [cells[one.place].strip() for one in inputs if takes_unit(one.reader)]
    others = [cells[one.place].strip() for one in inputs if not takes_unit(one.reader)]
    named = [_is_unit(cells[one.place].strip(), one.reader) for one in inputs if takes_unit(one.reader)]
    if not any(named):
        return False
    if any(others) or not all(good or not cell for good, cell in zip(named, able, strict=True)):
        raise InputProblem([refusal("ambiguous-unit-row", "")])
    return True


def _is_unit(cell: str, reader: Any) -> bool:
    if not cell:
        return False
    if cell in AMBIGUOUS:
        return True
    try:
        unit_for(reader, cell)
    except UnitError:
        return False
    return True


def take_units(cells: Sequence[str], inputs: Sequence[Any]) -> None:
    """Give the columns the units of a row; raise `InputProblem` where a cell holds something else."""
    faults = []
    for one in inputs:
        cell = cells[one.place].strip()
        if not cell:
            continue
        try:
            unit = unit_for(one.reader, cell)
        except UnitError as error:
            faults.append(unread(error, one.pointer))
            continue
        if one.unit is not None and one.unit != unit:
            faults.append(refusal("column-of-two-units", one.pointer, header=Code(one.unit.text), row=Code(cell[:40])))
        one.unit = unit
    if faults:
        raise InputProblem(faults)
