"""The verdict: of the start that is to be judged, else of the best there is."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from latewood.calculators._cure_windows.fields import Verdict, WorkStep
from latewood.calculators._cure_windows.scene import Scene
from latewood.calculators._cure_windows.search import Fit
from latewood.calculators._cure_windows.timeline import Laid
from latewood.calculators._cure_windows.windows import Ranked
from latewood.moment import Moment
from latewood.problems import Fault, InputProblem
from latewood.weather.hours import Flags

if TYPE_CHECKING:
    from latewood.calculators.cure_windows import Inputs


@dataclass(frozen=True, kw_only=True)
class Judged:
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
    given: Scene,
    order: Sequence[Ranked],
    fitted: Fit,
    wrong: Mapping[str, Flags],
    cell_of: Callable[[Moment], float],
) -> Judged:
    """Return the verdict on the start asked for, or on the best start."""
    if x.start is None:
        if not order:
            return Judged(verdict="no", laid=None, asked=False)
        return _works(steps, given, fitted, wrong, order[0].best, asked=False)
    cell = cell_of(x.start)
    if not 0 <= cell < len(given.cells):
        detail = "the start lies outside the weather given"
        raise InputProblem([Fault(pointer="/start", code="conflict", detail=detail, expected="a time within it")])
    nearest = int(cell + 1e-9)
    found = np.flatnonzero(fitted.starts == nearest)
    if len(found) and fitted.whole[found[0]]:
        return _works(steps, given, fitted, wrong, nearest, asked=True)
    return _refused(steps, given, nearest)


def _works(
    steps: Sequence[WorkStep], given: Scene, fitted: Fit, wrong: Mapping[str, Flags], cell: int, *, asked: bool
) -> Judged:
    at = int(np.flatnonzero(fitted.starts == cell)[0])
    breaks = tuple(name for name, flags in wrong.items() if not flags[at])
    if given.cells.rain is None:
        breaks = (*breaks, "rain-unknown")
    return Judged(verdict="at-risk" if breaks else "yes", laid=_laid(steps, fitted, at), asked=asked, breaks=breaks)


def _refused(steps: Sequence[WorkStep], given: Scene, cell: int) -> Judged:
    """Lay the steps out one after the other all the same, and say which gates they break."""
    begins, ends, why, gates = [], [], [], []
    at = float(cell)
    for step in steps:
        end = at + np.ceil(step.duration / given.cells.step - 1e-9)
        span = slice(int(at), int(min(end, len(given.cells))))
        own = given.gatings[step.kind]
        failing, unknown = own.failing(span), own.unknown(span)
        words = own.reasons(span)
        if not own.passes[span].all() or end > len(given.cells):
            why.append(f"{step.id}: " + ("; ".join(words) or "the weather given ends before it is done"))
            gates += [*failing, *unknown]
        elif not given.may[step.kind][span].all():
            why.append(f"{step.id}: not within working hours and daylight")
            gates.append("working-hours")
        begins.append(at)
        ends.append(float(end))
        at = float(end)
    if not why:
        why.append("a later step has no place in the weather after it")
        gates.append("sequence")
    inside = ends[-1] <= len(given.cells)
    return Judged(
        verdict="no",
        laid=Laid(steps, begins, ends) if inside else None,
        asked=True,
        why=tuple(why),
        gates=tuple(dict.fromkeys(gates)),
    )


def _laid(steps: Sequence[WorkStep], fitted: Fit, at: int) -> Laid:
    return Laid(steps, [float(b[at]) for b in fitted.begins], [float(e[at]) for e in fitted.ends])
