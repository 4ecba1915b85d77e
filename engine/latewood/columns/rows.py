"""One row of a table: its cells in, the columns it gains out."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from typing import Any, Final, Protocol

from latewood.blame import PluginFailed, blaming
from latewood.columns import shown
from latewood.columns.choices import Choices
from latewood.columns.header import Input
from latewood.declare import Calculator, Shelf
from latewood.messages import Speaker, Style, line, refusal, written
from latewood.problems import Fault, InputProblem, NotFound
from latewood.provenance import Ledger
from latewood.records.places import note_place
from latewood.running import run
from latewood.wire import Context, flat, struct_reader
from latewood.wire.context import Registry as Ids

log = logging.getLogger("latewood")

#: More faults than anyone mends in one row.
MAX_FAULTS: Final = 20


class Registry(Ids, Shelf, Protocol):
    """Where ids are looked up, by readers and by calculators."""


class Rows:
    """Answers rows whose columns are known; what an answer holds beside the columns asked for is never written."""

    def __init__(
        self, calculator: Calculator, shelf: Registry, columns: Sequence[shown.Shown], choices: Choices
    ) -> None:
        self._calculator = calculator
        self._shelf = shelf
        self._columns = columns
        self._choices = choices
        self._reader = struct_reader(calculator.inputs)
        self._cautions = list(shelf.records("caution").values())
        self.blank = [""] * (sum(len(one.parts) for one in columns) + len(shown.ABOUT))

    def headers(self) -> list[str]:
        """Return the headers of the columns a row gains."""
        return [*(name for one in self._columns for name in one.headers), *shown.ABOUT]

    def answer(self, cells: Sequence[str], inputs: Sequence[Input], decimal: str, faults: Sequence[Fault]) -> list[str]:
        """Return the cells a row gains; raise `InputProblem` with every fault in it, those already found first."""
        ctx = Context(self._shelf, decimal=decimal, textual=True)
        ctx.faults.extend(faults)
        pairs = []
        for one in inputs:
            cell = cells[one.place].strip()
            if cell:
                pairs.append((one.name, one.unit.join(cell, one.pointer, ctx) if one.unit else cell))
        try:
            with blaming(self._calculator.plugin, f"calculator {self._calculator.id}"):
                return self._answer(pairs, ctx, decimal)
        except NotFound as unknown:
            raise InputProblem([unknown.fault]) from None
        except (InputProblem, PluginFailed):
            raise
        except Exception:
            # The rows after this one must not be lost to a fault of a calculator.
            log.exception("a row of %s failed", self._calculator.id)
            raise InputProblem([refusal("row-failed", "")]) from None

    def _answer(self, pairs: Sequence[tuple[str, str]], ctx: Context, decimal: str) -> list[str]:
        raw = flat.tree(pairs, self._reader, ctx.faults)
        values = self._reader.read(raw, "", ctx)
        ctx.finish()
        ledger = Ledger(self._calculator.id, messages=self._shelf.texts.messages)
        ctx.note_names(ledger)
        note_place(values, self._shelf, ledger)
        result: Any = run(self._calculator, values, ledger, self._shelf)
        found: list[str] = []
        lost = False
        speaker = self._speaker(decimal)
        for column in self._columns:
            texts, unknown = column.cells(result, speaker, decimal)
            found += texts
            lost = lost or unknown
        findings = [finding.id for finding in ledger.raised] + (["not-computed"] if lost else [])
        cautions = [caution.id for caution in ledger.cautions(self._cautions)]
        return [*found, _ids(findings), _ids(cautions), "", "", ""]

    def _speaker(self, decimal: str) -> Speaker:
        return self._shelf.texts.speaker(Style.of(self._choices.lang, self._choices.system, decimal))

    def refused(self, faults: Sequence[Fault], decimal: str) -> list[str]:
        """Return the cells a row gains that could not be answered."""
        speaker = self._speaker(decimal)
        faults = written(faults, speaker)
        lines = [line(fault, speaker) for fault in faults[:MAX_FAULTS]]
        if len(faults) > MAX_FAULTS:
            lines.append(speaker.say("more-faults-of-row", {"count": len(faults) - MAX_FAULTS}))
        text = " | ".join(lines)
        plain = "".join(c if c.isprintable() else " " for c in text)
        pointers = _ids(fault.pointer for fault in faults[:MAX_FAULTS] if fault.pointer)
        return [*self.blank[:-3], plain, _ids(fault.code for fault in faults), pointers]


def _ids(ids: Any) -> str:
    return " ".join(dict.fromkeys(ids))
