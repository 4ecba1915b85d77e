"""What every answer carries beside its result: basis, findings, cautions and, when asked, the working."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from latewood.declare import Calculator, RecordLookup, Symbol
from latewood.provenance import Ledger, Shown, Step
from latewood.quantities import units
from latewood.records.places import note_place
from latewood.wire import Context, Options, struct_reader
from latewood.wire.options import System
from latewood.wire.write import struct_writer


def answer(calculator: Calculator, raw: object, ctx: Context, options: Options, known: RecordLookup) -> dict[str, Any]:
    """Return the answer to a request, all but what it was computed with; raise `InputProblem` with every fault."""
    inputs = struct_reader(calculator.inputs).read(raw, "", ctx)
    ctx.finish()
    ledger = Ledger(calculator.id, working=options.working)
    note_place(inputs, known, ledger)
    result = calculator.function(inputs, ledger, known)
    written = struct_writer(calculator.result)(result, options.system)
    no_nulls(written, ledger)
    cautions = ledger.cautions(known.records("caution").values())
    return {"calculator": calculator.id, "result": written, **envelope(ledger, cautions, options.system)}


def envelope(ledger: Ledger, cautions: Iterable[Shown], system: System) -> dict[str, Any]:
    """Return basis, findings, cautions and the sheet of one calculation."""
    parts: dict[str, Any] = {"basis": ledger.basis, "findings": ledger.findings, "cautions": list(cautions)}
    if ledger.steps is not None:
        parts["sheet"] = [sheet_line(step, system) for step in ledger.steps]
    return parts


def sheet_line(step: Step, system: System) -> dict[str, Any]:
    """Return one worked step: the formula in words and symbols, the numbers put in, and what came out."""
    formula = step.formula
    return {
        "formula": formula.id,
        "about": step.about,
        "words": formula.words,
        "symbols": formula.symbols,
        "numbers": [
            {"name": name, **_number(formula.arguments[name], number, system)} for name, number in step.numbers.items()
        ],
        "result": {"name": "result", **_number(formula.result, step.value, system)},
        "source": formula.source,
        "where": formula.where,
    }


def _number(symbol: Symbol, value: float, system: System) -> dict[str, Any]:
    unit = symbol.unit if system == "metric" else units.us_of(symbol.unit, symbol.dimension)
    return {"symbol": symbol.symbol, "value": units.show(value, unit, symbol.dimension), "unit": unit}


def no_nulls(result: Mapping[str, Any], ledger: Ledger) -> None:
    """Add a finding for every quantity that could not be computed, so that a null is never silent."""
    for path in _nulls(result, ""):
        ledger.find("not-computed", "warning", "this value could not be computed from these inputs", pointer=path)


def _nulls(value: Any, at: str) -> Iterator[str]:
    if isinstance(value, Mapping):
        for name, part in value.items():
            if name == "value" and part is None:
                yield at
            else:
                yield from _nulls(part, f"{at}/{name}")
    elif isinstance(value, list):
        for index, part in enumerate(value):
            yield from _nulls(part, f"{at}/{index}")
