"""How likely rain is in the hours that count, where a forecast has one chance for a whole day."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from latewood.formulas import clockwork, rain
from latewood.weather import Hours
from latewood.weather.hours import Array

#: Length of the day that a chance is for, in s.
DAY: Final = 86_400.0

#: How the rain of a day falls: as likely at every hour, or all of it in the hours that count.
Falls = Literal["evenly", "just-then"]


@dataclass(frozen=True, kw_only=True)
class DayChance:
    """Chances of rain by day, cut into cells: the chance of each cell's day, NaN unknown, and which day that is."""

    chance: Array
    day: NDArray[np.intp]
    step: float
    falls: Falls = "evenly"

    def likelier_by(self, points: float) -> DayChance:
        """Return the same days with a higher chance of rain."""
        return replace(self, chance=np.minimum(self.chance + points, 1.0))

    def falling(self, falls: Falls) -> DayChance:
        """Return the same days with rain that falls otherwise."""
        return replace(self, falls=falls)

    def between(self, begin: Array, end: Array) -> Array:
        """Return the chance of rain from each begin to its end, in cells; NaN where that of a day is not known."""
        count = len(self.chance)
        first, last = np.clip(begin, 0, count), np.clip(end, 0, count)
        if self.falls == "evenly":
            hidden = self._running(self._even, last) - self._running(self._even, first)
        else:
            hidden = self._days_touched(first, last)
        gaps = self._running(self._gaps, last) - self._running(self._gaps, first)
        found: Array = np.where(gaps > 1e-9, np.nan, -np.expm1(-np.maximum(hidden, 0.0)))
        return found

    def shower(self, begin: float, end: float) -> float:
        """Return the least: the chance that one short shower of each day, at any time of it, falls in between."""
        dry = 1.0
        for share, chance in self.parts(begin, end):
            dry *= 1 - float(rain.chance_of_one_shower(chance=chance, time=share * DAY, period=DAY))
        return 1 - dry

    def parts(self, begin: float, end: float) -> list[tuple[float, float]]:
        """Return for each day between two cells the share of it that lies between, and its chance."""
        found = []
        for day in np.unique(self.day):
            cells = np.flatnonzero(self.day == day)
            inside = min(float(cells[-1]) + 1, end) - max(float(cells[0]), begin)
            if inside > 1e-9:
                found.append((inside * self.step / DAY, float(self.chance[cells[0]])))
        return found

    @cached_property
    def _even(self) -> Array:
        return clockwork.running(np.nan_to_num(rain.dryness(self.chance)) * self.step / DAY)

    @cached_property
    def _gaps(self) -> Array:
        return clockwork.running(np.isnan(self.chance).astype(float))

    @staticmethod
    def _running(total: Array, at: Array) -> Array:
        found: Array = np.interp(at, np.arange(len(total)), total)
        return found

    def _days_touched(self, first: Array, last: Array) -> Array:
        """Return the sum over whole days that lie at least in part between two cells."""
        starts = np.flatnonzero(np.diff(self.day, prepend=self.day[0] - 1))
        total = np.concatenate(([0.0], np.cumsum(np.nan_to_num(rain.dryness(self.chance[starts])))))
        order = np.searchsorted(starts, np.arange(len(self.day)), side="right") - 1
        begins = order[np.minimum(first.astype(int), len(order) - 1)]
        ends = order[np.clip(np.ceil(last - 1e-9).astype(int) - 1, 0, len(order) - 1)]
        found: Array = np.where(last - first > 1e-9, total[ends + 1] - total[begins], 0.0)
        return found


def day_chance_of(hours: Hours, part: int) -> DayChance | None:
    """Return the chances of days cut into cells; None where the weather has none."""
    if hours.day_chance is None:
        return None
    return DayChance(chance=np.repeat(hours.day_chance, part), day=np.repeat(hours.day, part), step=hours.step / part)
