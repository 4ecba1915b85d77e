"""The verdict: of the start that is to be judged, else of the best there is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.compute.search import Fit, after_coat, ready_after, wiping
from latewood.calculators.cure_windows.compute.timeline import Laid, called
from latewood.calculators.cure_windows.compute.windows import Ranked
from latewood.calculators.cure_windows.fields import Verdict
from latewood.messages import Clause, clause
from latewood.weather.hours import Flags


@dataclass(frozen=True, kw_only=True)
class Assessed:
    """What is answered for: a verdict, the steps laid out in time, and why where it is not a yes."""

    verdict: Verdict
    laid: Laid | None
    asked: bool
    breaks: tuple[str, ...] = ()
    why: tuple[Clause, ...] = ()
    gates: tuple[str, ...] = ()


def assessed(case: ForecastCase, order: Sequence[Ranked], fitted: Fit, wrong: Mapping[str, Flags]) -> Assessed:
    """Return the verdict on the start asked for, or on the best start."""
    if case.r.start is None:
        if not order:
            return Assessed(verdict="no", laid=None, asked=False)
        return _works(case, fitted, wrong, order[0].best)
    nearest = int(case.r.start * case.cells.part + 1e-9)
    found = np.flatnonzero(fitted.starts == nearest)
    if len(found) and fitted.whole[found[0]]:
        return _works(case, fitted, wrong, nearest)
    return _fails(case, nearest)


def _works(case: ForecastCase, fitted: Fit, wrong: Mapping[str, Flags], cell: int) -> Assessed:
    at = int(np.flatnonzero(fitted.starts == cell)[0])
    breaks = (*(name for name, flags in wrong.items() if not flags[at]), *case.cells.unsaid)
    laid = Laid([float(b[at]) for b in fitted.begins], [float(e[at]) for e in fitted.ends])
    asked = case.r.start is not None
    return Assessed(verdict="at-risk" if breaks else "yes", laid=laid, asked=asked, breaks=breaks)


def _fails(case: ForecastCase, cell: int) -> Assessed:
    """Lay the steps out all the same, each as soon as the one before lets it, and say which gates they break."""
    steps, cells, at = case.r.steps, case.cells, float(cell)
    begins, ends, why, gates = [], [], [], []
    for place, step in enumerate(steps):
        end = at + np.ceil(step.duration / cells.step - 1e-9)
        done = end + np.ceil(after_coat(case, place) - 1e-9)
        own, may, wipes = case.gatings[step.kind], case.may[step.kind], case.wipes[step.kind]
        laid = max(np.ceil(done - wiping(case, place) - 1e-9), end)
        span, gated, whole = (slice(int(at), int(min(last, len(cells)))) for last in (end, laid, done))
        fails, over = (own.of_wiping(), whole) if own.passes[gated].all() else (own, gated)
        if not fails.passes[over].all() or end > len(cells):
            reasons = fails.reasons(over) or [clause("step-outlasts-weather")]
            why.append(clause("step-stopped", step=called(step), why=reasons))
            gates += [*fails.failing(over), *fails.unknown(over)]
        elif not wipes[whole].all():
            late = "step-wiped-after-hours" if may[span].all() else "step-after-hours"
            why.append(clause(late, step=called(step)))
            gates.append("working-hours")
        begins.append(at)
        ends.append(float(end))
        ready = ready_after(case, place, np.array([min(end, len(cells))]))
        at = float(ready[0])
        if place + 1 < len(steps) and at >= len(cells):
            why.append(clause("step-after-weather", step=called(steps[place + 1])))
            gates.append("sequence")
            break
    if not why:
        why.append(clause("later-step-has-no-place"))
        gates.append("sequence")
    inside_all = len(ends) == len(steps) and ends[-1] <= len(cells)
    return Assessed(
        verdict="no",
        laid=Laid(begins, ends) if inside_all else None,
        asked=True,
        why=tuple(why),
        gates=tuple(dict.fromkeys(gates)),
    )
