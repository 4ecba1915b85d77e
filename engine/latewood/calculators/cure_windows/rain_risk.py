"""How likely rain is in the hours that count, with the range that a day's chance leaves open."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.chance import DAY, DayChance
from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.fields import RainRisk
from latewood.calculators.cure_windows.gates import Clock
from latewood.calculators.cure_windows.search import Fit
from latewood.calculators.cure_windows.timeline import Laid
from latewood.formulas import clockwork, rain
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def rain_risk(laid: Laid | None, cells: Cells, family: Family, clock: Clock, ledger: Ledger) -> RainRisk | None:
    """Return the chance of rain until the coats of a start are safe; None where that of a day is not known."""
    if laid is None or not laid.coats or cells.day_chance is None:
        return None
    begin, end = laid.begins[laid.coats[0]], _safe(laid.ends[laid.coats[-1]], cells, family, clock)
    found = _risk(cells, cells.day_chance, begin, end)
    if np.isnan(found.chance):
        return None
    if found.chance_most > 0:
        message = (
            f"Rain: {found.chance:.0%} from the first coat until the last is safe, {found.ends:%a %d %b %H:%M}, each "
            f"day's chance spread evenly. {_range(found)}"
        )
        _find("rain-chance-by-day", message, found, ledger)
    _work(cells.day_chance, begin, end, ledger)
    return found


def bearable(fitted: Fit, coats: Sequence[int], cells: Cells, family: Family, clock: Clock, ledger: Ledger) -> None:
    """Say which start is least likely to be rained on, where nothing but the chance of rain stands in the way."""
    whole = np.flatnonzero(fitted.whole)
    if cells.day_chance is None or not len(whole) or not coats:
        return
    begins = fitted.begins[coats[0]][whole]
    ends = clockwork.reached(clock.total, fitted.ends[coats[-1]][whole], family.stages["rain_safe"][1])
    chances = cells.day_chance.between(begins, np.minimum(ends, len(cells)))
    if np.isnan(chances).all():
        return
    best = int(np.nanargmin(chances))
    found = _risk(cells, cells.day_chance, float(begins[best]), min(float(ends[best]), float(len(cells))))
    message = (
        f"Only the chance of rain stops it. It is least, {found.chance:.0%}, for a start on "
        f"{found.starts:%a %d %b %H:%M}; the limit is {cells.chance_limit:.0%}. {_range(found)} Look at an hourly "
        "forecast, or wait."
    )
    _find("rain-chance-stops", message, found, ledger)


def _risk(cells: Cells, chances: DayChance, begin: float, end: float) -> RainRisk:
    return RainRisk(
        starts=cells.at(begin),
        ends=cells.at(end),
        chance=_between(chances, begin, end),
        chance_least=chances.shower(begin, end),
        chance_most=_between(chances.falling("just-then"), begin, end),
    )


def _range(found: RainRisk) -> str:
    """Say what the chance is at least and at most, and which rain makes it so."""
    return (
        f"One short shower a day makes it {found.chance_least:.0%}, rain in just these hours {found.chance_most:.0%}."
    )


def _find(id: str, message: str, found: RainRisk, ledger: Ledger) -> None:
    numbers = {"chance": found.chance, "least": found.chance_least, "most": found.chance_most}
    ledger.find(id, "note", message, pointer="/weather", **{name: round(value, 4) for name, value in numbers.items()})


def _safe(done: float, cells: Cells, family: Family, clock: Clock) -> float:
    """Return when a coat is safe from rain, in cells; the end of the weather where it is not before."""
    safe = float(clockwork.reached(clock.total, [done], family.stages["rain_safe"][1])[0])
    return min(safe, float(len(cells)))


def _between(chances: DayChance, begin: float, end: float) -> float:
    return float(chances.between(np.array([begin]), np.array([end]))[0])


def _work(chances: DayChance, begin: float, end: float, ledger: Ledger) -> None:
    """Write the working: each day's part, and the days together."""
    if ledger.steps is None:
        return
    total: spread.Number | None = None
    for place, (share, chance) in enumerate(chances.parts(begin, end), 1):
        about = f"day {place} of the coats"
        ledger.step(rain.chance_of_one_shower, about, chance=chance, time=share * DAY, period=DAY)
        own = ledger.step(rain.chance_in_hours, about, chance=chance, time=share * DAY, period=DAY)
        total = own if total is None else ledger.step(rain.chance_of_either, about, first=total, second=own)
