"""The air a zone dries in: a mean climate, or hours of weather, from some time before now to some time after."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latewood.calculators.moisture_readiness.clock import Clock
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas import diffusion, sorption, surface
from latewood.formulas.drying_air import Air
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import BoardColour, DryingModel
from latewood.uncertainty import spread
from latewood.weather import Exposure, Hours, Place, face_of, reckoned_rain

Array = NDArray[np.float64]

HOUR, DAY = 3600.0, 86400.0
#: Board moisture follows the mean of the last 48 h best (Humar et al. 2020); so its equilibrium is taken at that mean.
SETTLES = 48 * HOUR
#: Weather earlier than this before now no longer shows in the outer millimetres.
BEFORE = 14 * DAY
#: How far ahead a mean climate, or weather that has ended, is taken to go on.
AHEAD = 60 * DAY


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


def climate_of(x: Inputs, hours: Hours | None, clock: Clock, model: DryingModel, ledger: Ledger) -> Climate | None:
    """Return the weather from before to ahead; None where neither weather nor a mean was given."""
    if hours is not None:
        return _hourly(x, hours, clock, model, ledger)
    if x.temperature is None and x.relative_humidity is None:
        return None
    if x.temperature is None or x.relative_humidity is None:
        name = "temperature" if x.temperature is None else "relative_humidity"
        detail = "a mean climate is a temperature and a humidity"
        raise InputProblem([Fault(pointer=f"/{name}", code="missing", detail=detail, expected="both, or weather")])
    past = [t for t in (*clock.taken, *clock.wetted) if t is not None and t < 0]
    first = max(HOUR * np.floor(min(past, default=0.0) / HOUR), -BEFORE)
    steps = round((AHEAD - first) / HOUR)
    column = np.ones(steps)
    return Climate(
        step=HOUR,
        first=first,
        temperature=column * x.temperature,
        humidity=column * x.relative_humidity,
        rain=column * 0.0,
        wind=None if x.wind_speed is None else column * x.wind_speed,
        hours=None,
        given=steps,
    )


def _hourly(x: Inputs, hours: Hours, clock: Clock, model: DryingModel, ledger: Ledger) -> Climate:
    first = 0.0 if clock.now is None else (hours.start - clock.now).total_seconds()
    if not (first <= 2 * DAY and first + hours.step * len(hours) > 0):
        detail = "the weather does not reach from before now, or soon after, to a time after now"
        raise InputProblem([Fault(pointer="/weather", code="conflict", detail=detail, expected="weather around now")])
    begin = max(int((-BEFORE - first) // hours.step), 0)
    end = min(len(hours), int((AHEAD - first) // hours.step))
    hours = _cut(hours, begin, end)
    chance = spread.value(ledger.take(model.rain_chance))
    given = len(hours)
    # What goes on after the end goes on as the last whole days were, a week of them at most.
    day = round(DAY / hours.step)
    last = min(max(given // day, 1), 7) * day if given >= day else given
    missing = max(int((AHEAD - (first + begin * hours.step)) // hours.step) - given, 0)
    later = given - last + np.arange(missing) % last
    order = np.concatenate((np.arange(given), later)).astype(int)
    rain = reckoned_rain(hours, chance, ledger)
    dry = np.concatenate((rain, np.zeros(missing)))
    return Climate(
        step=hours.step,
        first=first + begin * hours.step,
        temperature=_whole(hours.air_temperature, "air_temperature")[order],
        humidity=np.clip(_whole(hours.relative_humidity, "relative_humidity"), 0.01, 1.0)[order],
        rain=dry,
        wind=None if hours.wind_speed is None else _whole(hours.wind_speed, "wind_speed")[order],
        hours=replace(
            hours,
            air_temperature=_whole(hours.air_temperature, "air_temperature"),
            relative_humidity=_whole(hours.relative_humidity, "relative_humidity"),
        ),
        given=given,
    )


def _cut(hours: Hours, begin: int, end: int) -> Hours:
    columns = {
        name: value[begin:end]
        for name in Hours.__dataclass_fields__
        if isinstance(value := getattr(hours, name), np.ndarray)
    }
    return replace(hours, start=hours.at(begin), **columns)  # type: ignore[arg-type]  # columns alone were cut


def _whole(values: Array, name: str) -> Array:
    gone = np.isnan(values)
    if gone.all():
        detail = f"{name} is not recorded at any step"
        raise InputProblem([Fault(pointer=f"/weather/columns/{name}", code="missing", detail=detail)])
    places = np.arange(len(values))
    return np.interp(places, places[~gone], values[~gone])


def air_of(
    x: Inputs,
    climate: Climate,
    exposure: Exposure,
    *,
    weathered: bool,
    model: DryingModel,
    water: Array,
    ledger: Ledger,
    known: RecordLookup,
) -> Air:
    """Return the air over and under the boards of one zone, one column."""
    usual = spread.value(ledger.take(model.heat_transfer))
    wind = climate.wind
    if wind is not None and exposure == "roofed":
        wind = wind * spread.value(ledger.take(model.roofed_wind))
    heat = np.full(len(climate.temperature), usual) if wind is None else surface.convection(wind_speed=wind)
    exchange = diffusion.vapour_exchange(heat)
    under = np.zeros_like(exchange) if exposure == "low-clearance" else exchange
    warm = climate.temperature
    if climate.hours is not None:
        place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
        colour: BoardColour = known.record("board-colour", "grey" if weathered else "fresh")
        face = face_of(
            climate.hours,
            place,
            ledger,
            absorptance=colour.absorptance,
            emissivity=colour.emissivity,
            exposure=exposure,
        )
        over = face.temperature - climate.temperature[: climate.given]
        later = climate.temperature[climate.given :]
        warm = np.concatenate((climate.temperature[: climate.given] + np.nan_to_num(over), later))
    rain = climate.rain if exposure != "roofed" else np.zeros_like(climate.rain)
    columns = (climate.temperature, climate.humidity, warm, exchange, under, np.maximum(rain, water))
    temperature, humidity, top, over_, below, wet = (np.asarray(column)[:, None] for column in columns)
    return Air(climate.step, temperature, humidity, top, over_, below, wet)
