"""How likely rain is in the hours that count, with the range that a day's chance leaves open."""

from __future__ import annotations

import numpy as np

from latewood.calculators.cure_windows.compute.cells import DAY, Cells, DayChance
from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.compute.search import Fit
from latewood.calculators.cure_windows.compute.timeline import Laid
from latewood.calculators.cure_windows.fields import RainRisk
from latewood.formulas import clockwork, rain
from latewood.messages import Count, clause
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def rain_risk(laid: Laid | None, case: ForecastCase, ledger: Ledger) -> RainRisk | None:
    """Return the chance of rain until the coats of a start are safe; None where that of a day is not known."""
    cells, coats = case.cells, case.r.coats
    if laid is None or not coats or cells.day_chance is None:
        return None
    safe = clockwork.reached(case.clock.total, [laid.ends[coats[-1]]], case.r.family.stages["rain_safe"][1])
    begin, end = laid.begins[coats[0]], min(float(safe[0]), float(len(cells)))
    found = _risk(cells, cells.day_chance, begin, end)
    if np.isnan(found.chance):
        return None
    _work(cells.day_chance, begin, end, ledger)
    return found


def least_risk(fitted: Fit, case: ForecastCase) -> RainRisk | None:
    """Return the risk of the start that is least likely to be rained on; None where no start leads to the end."""
    whole, cells, coats = np.flatnonzero(fitted.whole), case.cells, case.r.coats
    if cells.day_chance is None or not len(whole) or not coats:
        return None
    begins = fitted.begins[coats[0]][whole]
    ends = clockwork.reached(case.clock.total, fitted.ends[coats[-1]][whole], case.r.family.stages["rain_safe"][1])
    chances = cells.day_chance.between(begins, np.minimum(ends, len(cells)))
    if np.isnan(chances).all():
        return None
    best = int(np.nanargmin(chances))
    return _risk(cells, cells.day_chance, float(begins[best]), min(float(ends[best]), float(len(cells))))


def _risk(cells: Cells, chances: DayChance, begin: float, end: float) -> RainRisk:
    return RainRisk(
        starts=cells.at(begin),
        ends=cells.at(end),
        chance=_between(chances, begin, end),
        chance_least=chances.shower(begin, end),
        chance_most=_between(chances.falling("just-then"), begin, end),
    )


def _between(chances: DayChance, begin: float, end: float) -> float:
    return float(chances.between(np.array([begin]), np.array([end]))[0])


def _work(chances: DayChance, begin: float, end: float, ledger: Ledger) -> None:
    """Write the working: each day's part, and the days together."""
    if ledger.steps is None:
        return
    total: spread.Number | None = None
    for place, (share, chance) in enumerate(chances.parts(begin, end), 1):
        about = clause("day-of-coats", day=Count(place))
        ledger.step(rain.chance_of_one_shower, about, chance=chance, time=share * DAY, period=DAY)
        own = ledger.step(rain.chance_in_hours, about, chance=chance, time=share * DAY, period=DAY)
        total = own if total is None else ledger.step(rain.chance_of_either, about, first=total, second=own)
