"""One search of the weather: the starts that work as it is forecast and as it may turn out, and their ranking."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import ForecastCase, case_of
from latewood.calculators.cure_windows.compute.search import Fit, fit, runs
from latewood.calculators.cure_windows.compute.windows import Ranked, ranked
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.weather.hours import Flags


@dataclass(frozen=True, kw_only=True)
class Searched:
    """What a search found; what a wrong forecast makes of it is looked for where it is asked."""

    case: ForecastCase
    at_work: Flags
    fitted: Fit

    @cached_property
    def wrong(self) -> Mapping[str, Flags]:
        """Whether each start still works, by what the forecast may have wrong."""
        r, cells = self.case.r, self.case.cells
        others = {name: cells.wrong_by(**by) for name, by in r.errors.items()} | _otherwise(cells)
        day, starts = _day(self.at_work), self.fitted.starts
        return {name: fit(case_of(r, other, self.at_work), day, starts).whole for name, other in others.items()}

    @cached_property
    def order(self) -> list[Ranked]:
        """The stretches of starts that work, the best first."""
        return ranked(self.case, self.fitted, self.wrong) if self.fitted.whole.any() else []


def look(r: Resolved, cells: Cells, at_work: Flags) -> Searched:
    """Follow the work from every start in this weather."""
    case = case_of(r, cells, at_work)
    return Searched(case=case, at_work=at_work, fitted=fit(case, _day(at_work)))


def _day(at_work: Flags) -> float:
    """Return the longest working day, in cells."""
    return float(runs(at_work).max(initial=0.0))


def _otherwise(cells: Cells) -> dict[str, Cells]:
    """Return the weather as its forecast leaves open: when the rain of a day falls, and whether before work."""
    if cells.day_chance is None:
        return {}
    return {"rain-just-then": cells.with_rain(falls="just-then"), "rain-before": cells.with_rain(look_back=True)}
