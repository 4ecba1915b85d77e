"""The weather cut into cells of a quarter of an hour or less, and what a wrong forecast would make of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from latewood.calculators.cure_windows.fields import ShadeSpell
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.formulas import clockwork
from latewood.formulas.rain import chance_of_one_shower, dryness
from latewood.weather import Hours
from latewood.weather.face import Face, dew_point
from latewood.weather.hours import Array, Flags

#: The finest a start is told: forecasts are hourly, and people start at the quarter.
CELL: Final = 900.0
#: Rain stood in for a chance of it: enough to be rain, no amount (m).
SOME_RAIN: Final = 1e-4
_DAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
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
            dry *= 1 - float(chance_of_one_shower(chance=chance, time=share * DAY, period=DAY))
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
        return clockwork.running(np.nan_to_num(dryness(self.chance)) * self.step / DAY)

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
        total = np.concatenate(([0.0], np.cumsum(np.nan_to_num(dryness(self.chance[starts])))))
        order = np.searchsorted(starts, np.arange(len(self.day)), side="right") - 1
        begins = order[np.minimum(first.astype(int), len(order) - 1)]
        ends = order[np.clip(np.ceil(last - 1e-9).astype(int) - 1, 0, len(order) - 1)]
        found: Array = np.where(last - first > 1e-9, total[ends + 1] - total[begins], 0.0)
        return found


@dataclass(frozen=True, kw_only=True)
class Cells:
    """The weather at the boards, cell by cell: K, shares, m, m/s. ``part`` cells make one step of the weather."""

    hours: Hours
    part: int
    air: Array
    face: Array
    humidity: Array
    spread: Array
    rain: Array | None
    wind: Array | None
    daylight: Flags
    chance_limit: float
    sheltered: bool
    #: Whether light and measurements tell how warm the boards are; the air stands in for them where not.
    boards_known: bool = True
    #: Chances of rain by day, where the forecast has no others.
    day_chance: DayChance | None = None
    #: Whether the chance of rain in the dry time before work is a gate too; people see before they start.
    look_back: bool = False

    @property
    def unsaid(self) -> tuple[str, ...]:
        """What may close any window because the weather says nothing of it."""
        return (("rain-unknown",) if self.rain is None else ()) + (() if self.boards_known else ("boards-unknown",))

    @property
    def step(self) -> float:
        """Length of a cell in s."""
        return self.hours.step / self.part

    def __len__(self) -> int:
        return int(self.air.shape[-1])

    def at(self, cell: float) -> datetime:
        """Return the local time at which a cell begins, to the second."""
        return self.hours.at(cell / self.part)

    @cached_property
    def dry_spell(self) -> Flags | None:
        """Whether it rains, cell by cell; None where nothing is known of rain."""
        return None if self.rain is None else np.nan_to_num(self.rain, nan=1.0) > 0

    def with_face(self, face: Face) -> Cells:
        """Return the same weather on boards that lie otherwise, such as in shade."""
        warm, spread = (np.repeat(values, self.part) for values in (face.temperature, face.spread))
        return replace(self, face=warm, spread=spread)

    def wrong_by(self, *, warmer: float = 0.0, damper: float = 0.0, wetter: float = 0.0) -> Cells:
        """Return the same weather warmer by kelvins, damper and wetter by shares: a wrong forecast."""
        air, face = self.air + warmer, self.face + warmer
        humidity = np.clip(self.humidity + damper, 0.01, 1.0)
        # The shift of the reckoned dew point: one that was recorded keeps what it differs by.
        shift = dew_point(air, humidity) - dew_point(self.air, self.humidity)
        rain = _rain(self.hours, self.chance_limit - wetter, sheltered=self.sheltered)
        return replace(
            self,
            air=air,
            face=face,
            humidity=humidity,
            spread=self.spread + warmer - shift,
            rain=None if rain is None else np.repeat(rain, self.part),
            day_chance=None if self.day_chance is None else self.day_chance.likelier_by(wetter),
        )

    def without_chance(self) -> Cells:
        """Return the same weather with nothing said of how likely rain is on a day."""
        return replace(self, day_chance=None)

    def with_rain(self, *, falls: Falls = "evenly", look_back: bool = False) -> Cells:
        """Return the same weather with the rain of its days falling otherwise, or held against the time before work."""
        chance = None if self.day_chance is None else self.day_chance.falling(falls)
        return replace(self, day_chance=chance, look_back=look_back)


def cells_of(r: Resolved) -> Cells:
    """Cut the hours into cells."""
    hours, face = r.hours, r.face
    part = max(round(hours.step / CELL), 1)
    rain = _rain(hours, r.chance_limit, sheltered=r.sheltered)
    days = None
    if hours.day_chance is not None and not r.sheltered:
        days = DayChance(
            chance=np.repeat(hours.day_chance, part), day=np.repeat(hours.day, part), step=hours.step / part
        )
    return Cells(
        hours=hours,
        part=part,
        air=np.repeat(hours.air_temperature, part),
        face=np.repeat(face.temperature, part),
        humidity=np.repeat(hours.relative_humidity, part),
        spread=np.repeat(face.spread, part),
        rain=None if rain is None else np.repeat(rain, part),
        wind=None if hours.wind_speed is None else np.repeat(hours.wind_speed, part),
        daylight=np.repeat(face.daylight, part),
        chance_limit=r.chance_limit,
        sheltered=r.sheltered,
        boards_known=r.by_air or r.lit,
        day_chance=days,
    )


def _rain(hours: Hours, limit: float, *, sheltered: bool) -> Array | None:
    """Return rain by step: as recorded, and where its chance is as high as the limit. None where nothing is known."""
    if sheltered:
        return np.zeros(len(hours))
    rain, chance = hours.rain, hours.rain_chance
    if hours.day_chance is not None:
        # No single hour of such a day is wet: how likely rain is in the hours that count is a gate of its own.
        unsaid = np.where(np.isnan(hours.day_chance), np.nan, 0.0)
        return unsaid if rain is None else np.where(np.isnan(rain), unsaid, rain)
    if chance is None:
        return rain
    expected = np.where(np.isnan(chance), np.nan, np.where(chance >= limit, SOME_RAIN, 0.0))
    if rain is None:
        return expected
    known = np.where(np.isnan(rain), expected, rain)
    found: Array = np.maximum(known, np.nan_to_num(expected))
    return found


def open_hours(cells: Cells, r: Resolved) -> Flags:
    """Say in which cells people work: hours of the day, days of the week, light, and not before the earliest start."""
    work = r.shift
    local = cells.hours.local
    within = np.tile(np.arange(cells.part) * cells.step, len(local))
    clock = np.repeat([at.hour * 3600.0 + at.minute * 60.0 + at.second for at in local], cells.part) + within
    free = np.repeat([_DAYS[at.weekday()] in work.days_off for at in local], cells.part)
    found: Flags = (clock >= seconds(work.opens)) & (clock + cells.step <= seconds(work.closes)) & ~free
    if work.daylight_only:
        found &= cells.daylight
    return found & (np.arange(len(cells)) >= r.earliest * cells.part - 1e-9)


def shade_of(hours: Hours, shades: Sequence[ShadeSpell]) -> Array | float:
    """Return the share of the beam that shade keeps off at every step of the weather."""
    if not shades:
        return 0.0
    middle = (hours.local_clock * 3600.0 + hours.step / 2) % 86_400
    shaded = np.zeros(len(hours))
    for shade in shades:
        inside = (middle >= seconds(shade.comes)) & (middle < seconds(shade.goes))
        shaded = np.where(inside, np.maximum(shaded, shade.share), shaded)
    return shaded


def seconds(clock: str) -> float:
    """Return a time of day in s since midnight."""
    hour, minute = clock.split(":")
    return int(hour) * 3600.0 + int(minute) * 60.0
