"""Rows of a table answered apart from it: here, or in another process that is told the form of the table."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import Final, NamedTuple

from latewood.blame import PluginFailed
from latewood.columns import decimal_mark, header, shown
from latewood.columns.choices import Choices
from latewood.columns.column_units import take_units
from latewood.columns.rows import Registry, Rows
from latewood.declare import Calculator
from latewood.messages import Code, refusal
from latewood.problems import Fault, InputProblem
from latewood.wire import struct_reader

log: Final = logging.getLogger("latewood")


@dataclass(frozen=True, slots=True)
class Form:
    """What must be known of a table to answer one of its rows, once the first rows have shown it."""

    calculator: str
    choices: Choices
    header: tuple[str, ...]
    units: tuple[str, ...]
    decimal: decimal_mark.Mark


@dataclass(frozen=True, slots=True)
class Asked:
    """A row that can be answered: its cells, and the faults that were found before."""

    cells: list[str]
    faults: list[Fault]


class Gained(NamedTuple):
    """The cells a row gains; where it is refused they say why."""

    cells: list[str]
    refused: bool = False
    #: The fault of a plugin that refused it.
    failed: PluginFailed | None = None


class Answerer:
    """Answers rows of tables of one form, here or in another process."""

    def __init__(self, calculator: Calculator, shelf: Registry, form: Form) -> None:
        self._decimal = form.decimal
        self._rows = rows_of(calculator, shelf, form.choices)
        reader = struct_reader(calculator.inputs)
        found = header.read(list(form.header), reader, form.choices.carry, self._rows.headers())
        self._inputs = found.inputs
        if form.units:
            take_units(list(form.units), self._inputs)

    def answer(self, asked: Asked) -> Gained:
        """Return what a row gains, or its faults."""
        try:
            return Gained(self._rows.answer(asked.cells, self._inputs, self._decimal, asked.faults))
        except InputProblem as problem:
            return Gained(self._rows.refused(problem.faults, self._decimal), refused=True)
        except PluginFailed as failed:
            # The rows after this one must not be lost to it.
            log.exception("a row failed")
            fault = refusal("plugin-failed", "", plugin=Code(failed.plugin), part=Code(failed.part))
            return Gained(self._rows.refused([fault], self._decimal), refused=True, failed=failed)


def rows_of(calculator: Calculator, shelf: Registry, choices: Choices) -> Rows:
    """Return what answers rows, in the columns that were chosen."""
    columns = shown.columns(calculator, choices.outputs, choices.system)
    return Rows(calculator, shelf, columns, choices)
