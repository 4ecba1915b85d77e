"""The weather as it is computed with: arrays in SI, one value a step, NaN where nothing was recorded."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from latewood.messages import Word, refusal
from latewood.problems import InputProblem

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]


@dataclass(frozen=True, kw_only=True)
class Hours:
    """Weather at equal steps. ``start`` is when the first step begins; a column of None was not recorded at all.

    Temperatures in K, humidity, cloud and chances of rain as shares, rain in m fallen during the step, wind in m/s,
    irradiance in W/m2 on a level surface. ``rain_chance`` is that of each step; ``day_chance`` that of the whole day a
    step belongs to, by local clocks. ``synthetic`` is weather made up from a line a day.
    """

    start: datetime
    step: float
    zone: tzinfo
    air_temperature: Array
    relative_humidity: Array
    dew_point: Array | None = None
    rain: Array | None = None
    rain_chance: Array | None = None
    day_chance: Array | None = None
    wind_speed: Array | None = None
    irradiance: Array | None = None
    cloud: Array | None = None
    surface_temperature: Array | None = None
    synthetic: bool = False

    def __len__(self) -> int:
        return len(self.air_temperature)

    def bridged(self, name: str) -> Array:
        """Return a column with gaps filled on straight lines; raises `InputProblem` where nothing was recorded."""
        values: Array = getattr(self, name)
        places, gone = np.arange(len(values)), np.isnan(values)
        if gone.all():
            raise InputProblem(
                [refusal("column-never-recorded", f"/weather/columns/{name}", column=Word("weather-column", name))]
            )
        found: Array = np.interp(places, places[~gone], values[~gone])
        return found

    @cached_property
    def times(self) -> Array:
        """Seconds since 1970 UTC at which each step begins."""
        times: Array = self.start.timestamp() + self.step * np.arange(len(self), dtype=np.float64)
        return times

    @cached_property
    def middles(self) -> Array:
        """Seconds since 1970 UTC of the middle of each step, for which the sun stands where it stands on average."""
        middles: Array = self.times + self.step / 2
        return middles

    @cached_property
    def local(self) -> tuple[datetime, ...]:
        """The local time at which each step begins."""
        return tuple(map(self.at, range(len(self))))

    @cached_property
    def local_clock(self) -> Array:
        """Hours since local midnight at which each step begins, as clocks there show it."""
        return np.array([at.hour + at.minute / 60 + at.second / 3600 for at in self.local])

    @cached_property
    def day(self) -> NDArray[np.intp]:
        """The local day of each step, counted from that of the first."""
        first = self.local[0].toordinal()
        return np.array([at.toordinal() - first for at in self.local], dtype=np.intp)

    def at(self, index: float) -> datetime:
        """Return the local time at which a step begins; parts of a step count."""
        return (self.start + timedelta(seconds=self.step * index)).astimezone(self.zone)

    def index_of(self, instant: datetime) -> float:
        """Return how many steps after the start an instant lies."""
        return (instant.astimezone(UTC) - self.start).total_seconds() / self.step
