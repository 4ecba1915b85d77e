"""The weather cut into cells of a quarter of an hour or less, and what a wrong forecast would make of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.chance import DayChance, Falls, day_chance_of
from latewood.calculators.cure_windows.fields import ShadeSpell, WorkShift
from latewood.weather import Hours
from latewood.weather.face import Face, dew_point
from latewood.weather.hours import Array, Flags

#: The finest a start is told: forecasts are hourly, and people start at the quarter.
CELL: Final = 900.0
#: Rain stood in for a chance of it: enough to be rain, no amount (m).
SOME_RAIN: Final = 1e-4
_DAYS: Final = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


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

    def cell_of(self, instant: datetime) -> float:
        """Return how many cells after the start an instant lies."""
        return self.hours.index_of(instant) * self.part

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


def cells_of(hours: Hours, face: Face, *, chance_limit: float, sheltered: bool, boards_known: bool) -> Cells:
    """Cut the hours into cells."""
    part = max(round(hours.step / CELL), 1)
    rain = _rain(hours, chance_limit, sheltered=sheltered)
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
        chance_limit=chance_limit,
        sheltered=sheltered,
        boards_known=boards_known,
        day_chance=None if sheltered else day_chance_of(hours, part),
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


def open_hours(cells: Cells, work: WorkShift, earliest: float) -> Flags:
    """Say in which cells people work: hours of the day, days of the week, light, and not before ``earliest``."""
    locals_ = [cells.hours.at(index) for index in range(len(cells.hours))]
    within = np.tile(np.arange(cells.part) * cells.step, len(locals_))
    clock = np.repeat([at.hour * 3600.0 + at.minute * 60.0 + at.second for at in locals_], cells.part) + within
    free = np.repeat([_DAYS[at.weekday()] in work.days_off for at in locals_], cells.part)
    found: Flags = (clock >= seconds(work.opens)) & (clock + cells.step <= seconds(work.closes)) & ~free
    if work.daylight_only:
        found &= cells.daylight
    return found & (np.arange(len(cells)) >= earliest - 1e-9)


def shade_of(hours: Hours, shades: tuple[ShadeSpell, ...]) -> Array | float:
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
