"""The verdict: of the start that is to be judged, else of the best there is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.fields import Verdict, WorkStep
from latewood.calculators.cure_windows.forecast_case import ForecastCase
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.search import Fit, after_coat, ready_after
from latewood.calculators.cure_windows.timeline import Laid
from latewood.calculators.cure_windows.windows import Ranked
from latewood.problems import Fault, InputProblem
from latewood.quantities.instants import Moment
from latewood.weather.hours import Flags


@dataclass(frozen=True, kw_only=True)
class Assessed:
    """What is answered for: a verdict, the steps laid out in time, and why where it is not a yes."""

    verdict: Verdict
    laid: Laid | None
    asked: bool
    breaks: tuple[str, ...] = ()
    why: tuple[str, ...] = ()
    gates: tuple[str, ...] = ()


def judged(
    x: Inputs,
    steps: Sequence[WorkStep],
    given: ForecastCase,
    family: Family,
    order: Sequence[Ranked],
    fitted: Fit,
    wrong: Mapping[str, Flags],
    cell_of: Callable[[Moment], float],
) -> Assessed:
    """Return the verdict on the start asked for, or on the best start."""
    if x.start is None:
        if not order:
            return Assessed(verdict="no", laid=None, asked=False)
        return _works(steps, given, fitted, wrong, order[0].best, asked=False)
    cell = cell_of(x.start)
    if not 0 <= cell < len(given.cells):
        detail = "the start lies outside the weather given"
        raise InputProblem([Fault(pointer="/start", code="conflict", detail=detail, expected="a time within it")])
    nearest = int(cell + 1e-9)
    found = np.flatnonzero(fitted.starts == nearest)
    if len(found) and fitted.whole[found[0]]:
        return _works(steps, given, fitted, wrong, nearest, asked=True)
    return _refused(steps, given, family, nearest)


def _works(
    steps: Sequence[WorkStep], given: ForecastCase, fitted: Fit, wrong: Mapping[str, Flags], cell: int, *, asked: bool
) -> Assessed:
    at = int(np.flatnonzero(fitted.starts == cell)[0])
    breaks = (*(name for name, flags in wrong.items() if not flags[at]), *given.cells.unsaid)
    return Assessed(verdict="at-risk" if breaks else "yes", laid=_laid(steps, fitted, at), asked=asked, breaks=breaks)


def _refused(steps: Sequence[WorkStep], given: ForecastCase, family: Family, cell: int) -> Assessed:
    """Lay the steps out all the same, each as soon as the one before lets it, and say which gates they break."""
    begins, ends, why, gates = [], [], [], []
    cells, at = given.cells, float(cell)
    for place, step in enumerate(steps):
        end = at + np.ceil(step.duration / cells.step - 1e-9)
        done = end + np.ceil(after_coat(steps, place, family, cells.step) - 1e-9)
        own, may = given.gatings[step.kind], given.may[step.kind]
        span, whole = (slice(int(at), int(min(last, len(cells)))) for last in (end, done))
        if not own.passes[whole].all() or end > len(cells):
            why.append(f"{step.id}: " + ("; ".join(own.reasons(whole)) or "the weather given ends before it is done"))
            gates += [*own.failing(whole), *own.unknown(whole)]
        elif not may[whole].all():
            inside = ", wiping and what goes on the wet included" if may[span].all() else ""
            why.append(f"{step.id}: not within working hours and daylight{inside}")
            gates.append("working-hours")
        begins.append(at)
        ends.append(float(end))
        ready = ready_after(step, steps[place + 1 :], np.array([min(end, len(cells))]), cells, family, given.clock)
        at = float(ready[0])
        if place + 1 < len(steps) and at >= len(cells):
            why.append(f"{steps[place + 1].id}: the weather given ends before it can begin")
            gates.append("sequence")
            break
    if not why:
        why.append("a later step has no place in the weather after it")
        gates.append("sequence")
    inside_all = len(ends) == len(steps) and ends[-1] <= len(cells)
    return Assessed(
        verdict="no",
        laid=Laid(steps, begins, ends) if inside_all else None,
        asked=True,
        why=tuple(why),
        gates=tuple(dict.fromkeys(gates)),
    )


def _laid(steps: Sequence[WorkStep], fitted: Fit, at: int) -> Laid:
    return Laid(steps, [float(b[at]) for b in fitted.begins], [float(e[at]) for e in fitted.ends])
