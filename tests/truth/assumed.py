"""What other values of an assumption move: as said, and as the whole calculator computes it with each.

The engine computes with every number at its median, and mostly by a part of a calculator. Here the whole calculator
runs again as anybody would run it, and the median of the output is read.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import Any, Final

from latewood.calculators.coverage.resolve.purchase import EVEN_CHANCE
from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood.job_files import read_file, with_weather
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.provenance.ledger import MATTERS
from latewood.running import read, replaced
from latewood.uncertainty import spread
from latewood.wire import Options

JOBS: Final = sorted((Path(__file__).parents[2] / "examples/jobs").glob("*.toml"))
#: What is tried where the engine knows the change already: field → other values.
KNOWN: Final[Mapping[str, Sequence[Any]]] = {"confidence": (EVEN_CHANCE,)}
#: Relative difference of an effect, beside one point: the median of a sum of wide numbers is not the sum of medians.
TOLERANCE: Final = 0.10


@dataclass(frozen=True)
class Assumed:
    """An assumption: its largest change of an output as said, None where it is too small to say, and by brute force."""

    of: str
    calculator: str
    field: str
    output: str
    said: float | None
    true: float

    @property
    def holds(self) -> bool:
        """Say whether what was said is what is true; where no figure is given, there is none to be wrong."""
        if self.said is None:
            return self.true <= MATTERS + 0.01
        return not math.isfinite(self.said) or abs(self.said - self.true) <= 0.01 + TOLERANCE * self.true


@dataclass
class _Run:
    """One run of a calculator, and what it assumed: fields with their outputs and other values."""

    calculator: Calculator
    inputs: Any
    ledger: Ledger
    known: Any
    defaults: list[tuple[str, str, Sequence[Any]]] = field(default_factory=list)


def effects(lw: Catalogue) -> Iterator[Assumed]:
    """Yield every assumption that is weighed: of each calculator's example, whole and with a field less, and each job.

    An assumption that comes alike more than once in one of these is yielded once.
    """
    for calculator in lw.calculators.values():
        whole = dict(calculator.example)
        for less in (None, *whole):
            raw = {name: value for name, value in whole.items() if name != less}
            of = calculator.id if less is None else f"{calculator.id} less {less}"
            yield from _tried(of, lw, partial(lw.answer, calculator.id, raw, Options()))
    for path in JOBS:
        yield from _tried(path.stem, lw, partial(lw.plan, with_weather(read_file(path), path.parent), Options()))


def lines(lw: Catalogue) -> Iterator[str]:
    """Yield each assumption as a line, what does not hold with a mark."""
    for one in effects(lw):
        said = "up to 10 %" if one.said is None else f"{one.said:.1%}" if math.isfinite(one.said) else "no figure"
        mark = "" if one.holds else "   WRONG"
        yield f"{one.of:40} {one.field:28} {one.output:18} said {said:>10} is {one.true:8.1%}{mark}"


def _tried(of: str, lw: Catalogue, ask: Callable[[], object]) -> Iterator[Assumed]:
    with _watched(lw) as runs, suppress(InputProblem):
        ask()
    seen = set()
    for run in runs:
        for name, output, others in run.defaults:
            at = f"/{name.replace('.', '/')}"
            found = [one for one in run.ledger.raised if one.pointer == at and one.id.startswith("default-")]
            said = None if not found else found[0].params.get("effect", math.inf)
            one = Assumed(of, run.calculator.id, name, output, said, _brute(run, name, output, others))
            if one not in seen:
                yield one
            seen.add(one)


def _brute(run: _Run, name: str, output: str, others: Sequence[Any]) -> float:
    """Return the largest change of the median of an output, by the whole calculator."""

    def median(x: Any) -> float:
        number = read(run.calculator.function(x, Ledger(run.calculator.id), run.known), run.calculator.outputs[output])
        return math.inf if number is None else spread.value(number)

    here = median(run.inputs)
    if not here or not math.isfinite(here):
        return math.inf
    moved = 0.0
    for other in others:
        with suppress(InputProblem):
            moved = max(moved, abs(median(replaced(run.inputs, name, other)) / here - 1))
    return moved


@contextmanager
def _watched(lw: Catalogue) -> Iterator[list[_Run]]:
    """Note every run of a calculator that answers, and what it assumes that other values could be tried for."""
    runs: dict[int, _Run] = {}
    kept, default = dict(lw.calculators), Ledger.default

    def noted(self: Ledger, name: str, given: Any, **about: Any) -> None:
        default(self, name, given, **about)
        others = about.get("others") or (KNOWN.get(name, ()) if about.get("effect") is not None else ())
        if others and id(self) in runs:
            runs[id(self)].defaults.append((name, about.get("output") or self.calculator, others))

    def watched(calculator: Calculator, inputs: Any, ledger: Ledger, known: Any) -> Any:
        if ledger.calculator == calculator.id:
            runs[id(ledger)] = _Run(calculator, inputs, ledger, known)
        try:
            return calculator.function(inputs, ledger, known)
        except InputProblem:
            runs.pop(id(ledger), None)
            raise

    try:
        Ledger.default = noted  # type: ignore[method-assign]
        lw.calculators.update({id: replace(one, function=partial(watched, one)) for id, one in kept.items()})
        found: list[_Run] = []
        yield found
        found += runs.values()
    finally:
        Ledger.default = default  # type: ignore[method-assign]
        lw.calculators.update(kept)
