"""What every answer carries beside its result: basis, findings, cautions and, when asked, the working."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from latewood.blame import blaming
from latewood.declare import Calculator, Shelf, Symbol
from latewood.messages import Clause, Speaker
from latewood.provenance import Ledger, Raised, Shown, Step, Used, written
from latewood.quantities import units
from latewood.records.places import note_place
from latewood.running import run
from latewood.wire import Context, Options, struct_reader
from latewood.wire.options import System
from latewood.wire.write import struct_writer


def answer(calculator: Calculator, raw: object, ctx: Context, options: Options, known: Shelf) -> dict[str, Any]:
    """Return the answer to a request, all but what it was computed with; raise `InputProblem` with every fault."""
    speaker = known.texts.speaker(options.style)
    with blaming(calculator.plugin, f"calculator {calculator.id}"):
        inputs = struct_reader(calculator.inputs).read(raw, "", ctx)
        ctx.finish()
        ledger = Ledger(calculator.id, working=options.working, messages=known.texts.messages)
        ctx.note_names(ledger)
        note_place(inputs, known, ledger)
        result = run(calculator, inputs, ledger, known)
        shown = struct_writer(calculator.result)(result, speaker)
    no_nulls(shown, ledger)
    cautions = ledger.cautions(known.records("caution").values())
    sheet = {} if ledger.steps is None else {"sheet": [sheet_line(step, speaker) for step in ledger.steps]}
    about = envelope(ledger.basis, ledger.raised, cautions, speaker)
    return {"calculator": calculator.id, "result": shown, **about, **sheet}


def envelope(
    basis: Iterable[Used], raised: Iterable[Raised], cautions: Iterable[Shown], speaker: Speaker
) -> dict[str, Any]:
    """Return basis, findings and cautions as an answer carries them: this is where their texts are written."""
    return {
        "basis": written.basis(basis, speaker),
        "findings": written.findings(raised, speaker),
        "cautions": written.cautions(cautions, speaker),
    }


def sheet_line(step: Step, speaker: Speaker) -> dict[str, Any]:
    """Return one worked step: the formula in words and symbols, the numbers put in, and what came out."""
    formula, system = step.formula, speaker.style.system
    return {
        "formula": formula.id,
        "about": speaker.clause(step.about) if isinstance(step.about, Clause) else step.about,
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
        ledger.find("not-computed", pointer=path)


def _nulls(whole: Mapping[str, Any] | list[Any], at: str) -> list[str]:
    found: list[str] = []
    for name, part in whole.items() if isinstance(whole, dict) else enumerate(whole):
        if isinstance(part, (dict, list)):
            found += _nulls(part, f"{at}/{name}")
        elif name == "value" and part is None:
            found.append(at)
    return found
