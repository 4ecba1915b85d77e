"""Hours made up from a line a day, for when no hourly forecast is at hand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np

from latewood.formulas import air, sun
from latewood.messages import Moment, refusal
from latewood.problems import InputProblem
from latewood.weather.fields import WeatherDay, rain_spells
from latewood.weather.hours import Array, Hours

#: Local solar time of the warmest hour. Source: the WAVE rule, de Wit et al. 1978, Simulation of assimilation,
#: respiration and transpiration of crops, Pudoc, Wageningen (recalled): cosines between sunrise and 14 o'clock.
WARMEST: Final = 14.0
#: Clock time of sunrise where the place is not known; an assumption.
SUNRISE: Final = 6.0
#: Rain in an hour said to be wet, of which the forecast says no amount: light rain, 1 mm/h; an assumption.
LIGHT_RAIN: Final = 1e-3

_HOUR: Final = 3600.0


def made_up(
    days: Sequence[WeatherDay],
    zone: ZoneInfo,
    latitude: float | None,
    longitude: float | None,
    pointer: str,
    *,
    hourly_chance: bool = False,
) -> Hours:
    """Return an hourly series: coldest at sunrise, warmest at 14 o'clock, the vapour in the air steady from day to day.

    A chance of rain is for the day unless it is ``hourly_chance``.
    Raises `InputProblem` where the days do not follow one another, or a night is warmer than its day.
    """
    _check(days, pointer)
    first = datetime.combine(days[0].date, datetime.min.time(), zone).astimezone(UTC)
    end = datetime.combine(days[-1].date + timedelta(days=1), datetime.min.time(), zone).astimezone(UTC)
    count = round((end - first).total_seconds() / _HOUR)
    middles = [(first + timedelta(hours=i + 0.5)).astimezone(zone) for i in range(count)]
    of_day = np.array([(at.date() - days[0].date).days for at in middles])
    clock = np.array([at.hour + at.minute / 60 for at in middles])
    temperature = _temperature(days, of_day, clock, _sunrise(days, zone, latitude, longitude))
    chance = _column(days, "rain_chance", of_day)
    return Hours(
        start=first,
        step=_HOUR,
        zone=zone,
        air_temperature=temperature,
        relative_humidity=_humidity(days, of_day, temperature),
        rain=_rain(days, of_day, clock),
        rain_chance=chance if hourly_chance else None,
        day_chance=None if hourly_chance else chance,
        wind_speed=_column(days, "wind_speed", of_day),
        cloud=_column(days, "cloud", of_day),
        synthetic=True,
    )


def _check(days: Sequence[WeatherDay], pointer: str) -> None:
    faults = []
    for index, day in enumerate(days):
        at = f"{pointer}/days/{index}"
        if day.coldest > day.warmest:
            faults.append(refusal("coldest-above-warmest", f"{at}/coldest"))
        if index and (day.date - days[index - 1].date).days != 1:
            before = Moment(days[index - 1].date)
            faults.append(refusal("day-out-of-order", f"{at}/date", day=Moment(day.date), before=before))
    if faults:
        raise InputProblem(faults)


def _sunrise(days: Sequence[WeatherDay], zone: ZoneInfo, latitude: float | None, longitude: float | None) -> Array:
    """Return the clock time of each day's first light, or of six where there is no telling or no sunrise."""
    if latitude is None or longitude is None:
        return np.full(len(days), SUNRISE)
    found = []
    for day in days:
        midnight = datetime.combine(day.date, datetime.min.time(), zone)
        times = midnight.timestamp() + 300.0 * np.arange(144)  # every five minutes until noon
        up = sun.solar_elevation(time=times, latitude=latitude, longitude=longitude) > 0
        found.append(np.argmax(up) / 12 if up.any() and not up[0] else SUNRISE)
    return np.array(found, dtype=np.float64)


def _temperature(days: Sequence[WeatherDay], of_day: Array, clock: Array, sunrise: Array) -> Array:
    coldest, warmest = (np.array([getattr(day, name) for day in days]) for name in ("coldest", "warmest"))
    index = of_day.astype(int)
    following = np.minimum(index + 1, len(days) - 1)
    before = np.maximum(index - 1, 0)
    rise = sunrise[index]

    def between(start: Array, end: Array, share: Array) -> Array:
        moved: Array = start + (end - start) * (1 - np.cos(np.pi * np.clip(share, 0, 1))) / 2
        return moved

    climbing = between(coldest[index], warmest[index], (clock - rise) / (WARMEST - rise))
    evening = between(warmest[index], coldest[following], (clock - WARMEST) / (24 - WARMEST + sunrise[following]))
    night = between(warmest[before], coldest[index], (clock + 24 - WARMEST) / (24 - WARMEST + rise))
    found: Array = np.where(clock < rise, night, np.where(clock < WARMEST, climbing, evening))
    return found


def _humidity(days: Sequence[WeatherDay], of_day: Array, temperature: Array) -> Array:
    """Keep each day's vapour at what gives its mean humidity, moving from noon to noon; 100 % is the most."""
    saturated = air.saturation_pressure_over_water(temperature=temperature)
    steady, noons = [], []
    for index, day in enumerate(days):
        own = of_day == index
        steady.append(day.relative_humidity / np.mean(1 / saturated[own]))
        noons.append(np.mean(np.flatnonzero(own)))
    vapour = np.interp(np.arange(len(temperature)), noons, steady)
    found: Array = np.minimum(vapour / saturated, 1.0)
    return found


def _rain(days: Sequence[WeatherDay], of_day: Array, clock: Array) -> Array | None:
    if all(day.wet_spells is None for day in days):
        return None
    rain = np.full(len(clock), np.nan)
    for index, day in enumerate(days):
        if day.wet_spells is None:
            continue
        own = of_day == index
        rain[own] = 0.0
        for first, after in rain_spells(day.wet_spells):
            rain[own & (clock >= first) & (clock < after)] = LIGHT_RAIN
    return rain


def _column(days: Sequence[WeatherDay], name: str, of_day: Array) -> Array | None:
    given = [getattr(day, name) for day in days]
    if all(value is None for value in given):
        return None
    values: Array = np.array([np.nan if value is None else value for value in given])[of_day.astype(int)]
    return values
