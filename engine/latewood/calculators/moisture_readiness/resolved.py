"""What the rooms hand on: times from now, the weather by equal steps, records and rules that hold, and each zone."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Final, Literal

import numpy as np

from latewood import records
from latewood.calculators.moisture_readiness.inputs import DropTest, MoistureReading, ReadinessZone
from latewood.formulas import sorption
from latewood.formulas.drying_air import Air, Array
from latewood.formulas.workdays import DAY
from latewood.rules.work import EVENING, MORNING
from latewood.weather import Exposure, Hours, Place
from latewood.weather.face import Slab

HOUR: Final = 3600.0
#: Board moisture follows the mean of the last 48 h best (Humar et al. 2020); so its equilibrium is taken at that mean.
SETTLES: Final = 48 * HOUR
#: How far ahead a mean climate, or weather that has ended, is taken to go on.
AHEAD: Final = 60 * DAY
#: More water than boards can hold: a wash brings as much as goes in.
PLENTY: Final = 1000.0


@dataclass(frozen=True)
class Clock:
    """Now, where a date is known at all, and every time given as seconds from now; a time left out is None."""

    now: datetime | None
    taken: tuple[float | None, ...]
    wetted: tuple[float | None, ...]
    tested: tuple[float | None, ...]
    start: float | None

    def at(self, seconds: float) -> datetime | None:
        """Return the local time so long from now."""
        return None if self.now is None else self.now + timedelta(seconds=seconds)

    def by_day(self, seconds: float) -> float:
        """Return the same time from now, or the next morning where it falls into the night: boards are read by day.

        From eight to seven o'clock; where no date is known it stays.
        """
        at = self.at(seconds)
        if at is None or seconds <= 0 or MORNING <= at.hour < EVENING:
            return seconds
        day = at + timedelta(days=1 if at.hour >= EVENING else 0)
        morning = day.replace(hour=MORNING, minute=0, second=0, microsecond=0)
        return seconds + (morning - at).total_seconds()


@dataclass(frozen=True)
class Climate:
    """Weather by equal steps; ``first`` is where the first one begins, in s from now. SI; rain in kg/m2 a step."""

    step: float
    first: float
    temperature: Array
    humidity: Array
    rain: Array
    wind: Array | None
    hours: Hours | None
    #: How many of the steps were given; the rest goes on as the last days were.
    given: int

    @property
    def steady(self) -> bool:
        """Whether only a mean was given."""
        return self.hours is None

    @property
    def end(self) -> float:
        """When the given weather ends, s from now."""
        return self.first + self.step * self.given

    def mean(self) -> tuple[float, float]:
        """Return mean temperature and humidity of the two days up to now, or of the first two days where none are."""
        if self.steady:
            return float(self.temperature[0]), float(self.humidity[0])
        last = min(max(self.index(0.0), 0), self.given)
        span = max(round(SETTLES / self.step), 1)
        part = slice(max(last - span, 0), last) if last >= span // 2 else slice(0, span)
        return float(self.temperature[part].mean()), float(self.humidity[part].mean())

    def ahead(self) -> tuple[float, float]:
        """Return mean temperature and humidity of the given weather from now on."""
        part = slice(min(max(self.index(0.0), 0), self.given - 1), self.given)
        return float(self.temperature[part].mean()), float(self.humidity[part].mean())

    def index(self, seconds: float) -> int:
        """Return the step in which a time from now lies; before the first below 0."""
        return int(np.floor((seconds - self.first) / self.step + 1e-9))

    def rained(self, after: float, until: float) -> list[float]:
        """Return the ends of the given steps with rain that begin in a span of time from now."""
        begins = self.first + self.step * np.arange(self.given)
        wet = (self.rain[: self.given] > 0) & (begins >= after - 1e-6) & (begins < until - 1e-6)
        return [float(begin + self.step) for begin in begins[wet]]


def settled(mean: tuple[float, float]) -> float:
    """Return the equilibrium moisture content at a mean temperature and humidity."""
    return float(sorption.equilibrium_moisture(temperature=mean[0], relative_humidity=mean[1]))


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """What all zones share."""

    clock: Clock
    climate: Climate | None
    place: Place
    #: Pressure of the air, Pa.
    pressure: float
    model: records.DryingModel
    limits: records.MoistureLimits
    practice: records.ReadingPractice
    meter: records.MoistureMeter
    #: The species whose scale a resistance meter has.
    scale: records.Species
    temperature_rule: Literal["handbook", "pfaff-garrahan"] | None
    species_rule: Literal["correction", "resistance", "none"] | None
    confidence: float
    #: What wetting by rain is, where nothing else wetted a zone.
    rained: records.WettingKind
    #: Colour of the boards, by whether they are weathered.
    colours: dict[bool, records.BoardColour]
    heat: records.BoardHeat
    outer_depth: float | None
    drop_rule: records.DropTestRule
    new_wood: records.NewWoodWait
    new_wood_age: float | None
    #: The air of zones that lie alike is made once.
    airs: dict[tuple[Exposure, bool, Slab, bytes], Air] = field(default_factory=dict)


@dataclass(frozen=True)
class Reading:
    """A reading: its place among the inputs, when it was taken (s from now), the meter and the wood it goes by."""

    place: int
    given: MoistureReading
    at: float | None
    meter: records.MoistureMeter
    species: records.Species | None

    def pointer(self, field: str = "reading") -> str:
        """Return where one of its fields stands among the inputs."""
        return f"/readings/{self.place}/{field}"


@dataclass(frozen=True)
class Water:
    """What wetted a zone: time it ended (s from now), its kind, water (kg/m2)."""

    at: float
    kind: records.WettingKind
    amount: float


@dataclass(frozen=True, kw_only=True)
class Zone:
    """A zone as it is judged: what holds for it of the request, its limits, and what wets it. Times in s from now."""

    given: ReadinessZone
    #: Where it stands among the inputs, so that what is said of one does not hide what is said of another.
    pointer: str
    species: records.Species | None
    exposure: Exposure
    thickness: float | None
    wetted_depth: float | None
    limit: float
    stop: float
    readings: tuple[Reading, ...]
    #: Place among the inputs, what was given, when it was made.
    drops: tuple[tuple[int, DropTest, float], ...]
    #: What wetted it or will before it is coated, in the order of time.
    waters: tuple[Water, ...]
    #: Ends of hours of rain up to the start, or for a day where none is planned.
    rain: tuple[float, ...]
    #: Whether it dries by the series, which knows one wetting and a steady climate alone.
    closed: bool

    @property
    def commonly_waited(self) -> records.WettingKind | None:
        """The kind of the last wetting after which common practice knows a wait."""
        return next((water.kind for water in reversed(self.waters) if water.kind.common_wait is not None), None)

    @property
    def id(self) -> str:
        """Name of the zone."""
        return self.given.id

    @property
    def past(self) -> list[float]:
        """Ends of wettings and rain that lie back."""
        return [water.at for water in self.waters if water.at <= 0] + [end for end in self.rain if end <= 0]

    @property
    def last_wet(self) -> float | None:
        """When it was last wetted; None where that is not known."""
        return max(self.past, default=None)
