"""From the weather as sent to the weather as computed with: stamps, time zones, gaps, and what to tell of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, timedelta
from typing import Final
from zoneinfo import ZoneInfo

import numpy as np

from latewood.formulas import air
from latewood.messages import Count, Word, clause, refusal, unread
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.quantities.instants import zone_of
from latewood.quantities.series import Series
from latewood.quantities.units import UnitError
from latewood.weather import chance
from latewood.weather.coarse import made_up
from latewood.weather.fields import Weather, WeatherColumns
from latewood.weather.hours import Array, Hours

#: The longest gap that is bridged in a straight line, in hours. A judgement of ours, no source.
BRIDGED: Final = 3.0

#: A record of so many hours without any rain is more likely one in which rain was not recorded. The longest dry run of
#: a typical year at Greensboro (TMY3) is 854 hours.
NEVER_DRY: Final = 2160

#: What becomes of steps that stay without light or cloud: boards are then at their warmest and coldest.
_LEFT: Final = {
    "irradiance": clause("left-to-the-sun"),
    "cloud": clause("left-clear"),
}

#: Columns of one name as sent, by what each chance is for.
_CHANCES: Final = ("rain_chance", "day_chance")


@dataclass(frozen=True, kw_only=True)
class Place:
    """Where the weather is: what the sun and local clocks depend on. Angles in rad."""

    latitude: float | None = None
    longitude: float | None = None
    timezone: str | None = None

    @property
    def known(self) -> bool:
        """Whether the sun's path can be computed."""
        return self.latitude is not None and self.longitude is not None


def resolve(weather: Weather, place: Place, ledger: Ledger, *, pointer: str = "/weather") -> Hours:
    """Return the hours that were sent, and write findings about gaps and columns that were not recorded.

    Raises `InputProblem` for a series without its start, step or stamp, for columns of different lengths, for local
    times that are skipped or doubled, and where neither columns nor days are given, or both.
    """
    faults = list(_conflicts(weather, pointer))
    if faults:
        raise InputProblem(faults)
    name = weather.timezone or place.timezone
    zone = zone_of(name) if name is not None else None
    for remark in weather.remarks:
        ledger.find(remark, pointer=f"{pointer}/remarks")
    if weather.days:
        if zone is None:
            raise InputProblem([refusal("days-without-time-zone", f"{pointer}/timezone")])
        hourly = weather.rain_chance_period == "step"
        hours = made_up(weather.days, zone, place.latitude, place.longitude, pointer, hourly_chance=hourly)
        ledger.find("synthetic-weather", pointer=f"{pointer}/days")
    else:
        hours = chance.by_period(_series(weather, zone, pointer), weather.rain_chance_period, ledger, pointer)
    hours = _mended(hours, ledger, pointer)
    chance.note_period(hours, weather.rain_chance_period, ledger)
    return _said(hours, ledger, pointer)


def _conflicts(weather: Weather, pointer: str) -> list[Fault]:
    if (weather.columns is None) == (not weather.days):
        return [refusal("columns-or-days", f"{pointer}/columns")]
    if weather.days:
        return []
    assert weather.columns is not None  # noqa: S101  the line above saw to it
    columns = weather.columns
    wanted = {
        "start": weather.start,
        "step": weather.step,
        "stamp": weather.stamp,
        "columns/air_temperature": columns.air_temperature,
        "columns/relative_humidity": columns.relative_humidity or columns.dew_point,
    }
    found: list[Fault] = [
        refusal("series-needs-this", f"{pointer}/{name}") for name, value in wanted.items() if value is None
    ]
    lengths = {name: len(series) for name, series in _columns(columns).items()}
    most = max(lengths.values(), default=0)
    found += [
        refusal("ragged-columns", f"{pointer}/columns/{name}", count=Count(length), most=Count(most))
        for name, length in lengths.items()
        if length != most
    ]
    return found


def _columns(columns: WeatherColumns) -> dict[str, Series]:
    given = {name: getattr(columns, name) for name in columns.__struct_fields__}
    return {name: series for name, series in given.items() if series is not None}


def _series(weather: Weather, zone: ZoneInfo | None, pointer: str) -> Hours:
    assert weather.start is not None and weather.step is not None and weather.columns is not None  # noqa: S101, PT018
    try:
        start = weather.start.instant(zone)
    except UnitError as error:
        raise InputProblem([unread(error, f"{pointer}/start")]) from None
    if weather.stamp == "end":
        start -= timedelta(seconds=weather.step)
    columns = {name: series.values for name, series in _columns(weather.columns).items()}
    columns["relative_humidity"] = _humidity(columns)
    own = weather.start.written.tzinfo or UTC
    warm, damp = columns.pop("air_temperature"), columns.pop("relative_humidity")
    bare = Hours(start=start, step=weather.step, zone=zone or own, air_temperature=warm, relative_humidity=damp)
    return replace(bare, **columns)  # type: ignore[arg-type]  # what is left of them is optional columns


def _humidity(columns: dict[str, Array]) -> Array:
    """Return relative humidity as recorded, else from the dew point, between 1 and 100 %.

    Air of 0 % has no dew point, and no weather station has ever seen less than 1 %.
    """
    if "relative_humidity" in columns:
        damp = columns["relative_humidity"]
    else:
        held = air.saturation_pressure_over_water(temperature=columns["dew_point"])
        damp = held / air.saturation_pressure_over_water(temperature=columns["air_temperature"])
    found: Array = np.clip(damp, 0.01, 1.0)
    return found


def _mended(hours: Hours, ledger: Ledger, pointer: str) -> Hours:
    """Bridge short gaps; of longer ones, and of any gap in rain, the hours stay unknown."""
    hours = _without_empty(hours, ledger, pointer)
    most = int(BRIDGED * 3600 / hours.step)
    found: dict[str, Array] = {}
    for name in ("air_temperature", "relative_humidity", "dew_point", "wind_speed", "irradiance", "cloud", "rain"):
        column: Array | None = getattr(hours, name)
        if column is None or not np.isnan(column).any():
            continue
        gone = int(np.isnan(column).sum())
        found[name] = column if name == "rain" else bridged(column, most)
        left = int(np.isnan(found[name]).sum())
        ledger.find(
            "weather-gaps",
            severity="warning" if left else "note",
            pointer=f"{pointer}/columns/{name}",
            params={"missing": gone, "unknown": left},
            column=Word("weather-column", name),
            missing=Count(gone),
            steps=Count(len(hours)),
            filled=Count(gone - left),
            unknown=Count(left),
            left=_LEFT.get(name, clause("left-unknown")),
        )
    return replace(hours, **found)  # type: ignore[arg-type]  # columns alone were mended


def _without_empty(hours: Hours, ledger: Ledger, pointer: str) -> Hours:
    """Leave out optional columns without a single value: they were not recorded, whatever their heading promises."""
    optional = ("dew_point", "rain", *_CHANCES, "wind_speed", "irradiance", "cloud", "surface_temperature")
    empty = [name for name in optional if (column := getattr(hours, name)) is not None and np.isnan(column).all()]
    for field in empty:
        name = "rain_chance" if field in _CHANCES else field
        ledger.find("weather-column-empty", pointer=f"{pointer}/columns/{name}", column=Word("weather-column", name))
    return replace(hours, **dict.fromkeys(empty))  # type: ignore[arg-type]  # optional columns alone


def bridged(values: Array, most: int) -> Array:
    """Fill runs of NaN of at most ``most`` steps, between two recorded values, in a straight line."""
    gone = np.isnan(values)
    if gone.all():
        return values
    places = np.arange(len(values))
    filled = np.interp(places, places[~gone], values[~gone])
    edges = np.flatnonzero(np.diff(np.concatenate(([0], gone.view(np.int8), [0]))))
    for first, after in zip(edges[::2], edges[1::2], strict=True):
        if after - first > most or first == 0 or after == len(values):
            filled[first:after] = np.nan
    return filled


def _said(hours: Hours, ledger: Ledger, pointer: str) -> Hours:
    """Say what was not recorded; a rain column that cannot be true is left out."""
    at = f"{pointer}/days" if hours.synthetic else f"{pointer}/columns"
    rain = hours.rain
    if rain is not None and len(rain) * hours.step >= NEVER_DRY * 3600 and not np.nan_to_num(rain).any():
        ledger.find("rain-all-zero", pointer=f"{at}/rain")
        rain, hours = None, replace(hours, rain=None)
    if rain is None and hours.rain_chance is None and hours.day_chance is None:
        ledger.find("rain-not-recorded", pointer=at)
    return hours
