"""The weather as a caller sends it: a series of equal steps, or a line a day."""

from __future__ import annotations

import re
from datetime import date
from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.instants import ZONE_PATTERN, Moment, zone_of
from latewood.quantities.series import Series
from latewood.quantities.units import UnitError

#: What a reader of files has to tell about what it read; each becomes a finding.
Remark = Literal[
    "rain-all-missing",
    "rain-all-zero",
    "rain-in-tenths",
    "rain-mostly-missing",
    "rain-partly-missing",
    "typical-year",
    "year-changed",
]

#: What a chance of rain is for: the step it stands at, or the whole of its day by local clocks.
ChancePeriod = Literal["step", "day"]

_SPELL = r"(?:[01]?[0-9]|2[0-3])-(?:[01]?[0-9]|2[0-4])"
WET_SPELLS = rf"^(?:none|{_SPELL}(?:, {_SPELL})*)$"


#: Fields of a place, in the same words and bounds wherever one is asked for.
Latitude = Annotated[float, Q("deg", "Latitude, north positive", ge=-90, le=90, example="41.2 deg")]
Longitude = Annotated[float, Q("deg", "Longitude, east positive", ge=-180, le=180, example="-73.9 deg")]
Elevation = Annotated[float, Q("m", "Height above sea level", ge=-430, le=6000, example="120 m")]
LocalZone = Annotated[
    str, F("IANA time zone of local times", pattern=ZONE_PATTERN, example="America/New_York", check=zone_of)
]


def rain_spells(text: str) -> tuple[tuple[int, int], ...]:
    """Return the spells of ``14-17, 20-21`` as first hour and the hour after the last; none is no spell.

    Raises `UnitError` for a spell that does not end after it starts.
    """
    found = tuple((int(first), int(last)) for first, last in re.findall(r"([0-9]+)-([0-9]+)", text))
    for first, last in found:
        if first >= last:
            raise UnitError("spell-upside-down", first=first, last=last)
    return found


class WeatherColumns(msgspec.Struct, frozen=True, kw_only=True):
    """What was recorded at every step; a column left out was not recorded, which is not zero."""

    air_temperature: (
        Annotated[Series, Q("degC", "Air temperature in the shade", ge=-60, le=60, example="18 degC")] | None
    ) = None
    relative_humidity: (
        Annotated[Series, Q("%", "Relative humidity of the air, over water", ge=0, le=100, example="65 %")] | None
    ) = None
    dew_point: (
        Annotated[Series, Q("degC", "Dew point, where it was recorded itself", ge=-80, le=40, example="11 degC")] | None
    ) = None
    rain: Annotated[Series, Q("mm", "Rain fallen during the step", ge=0, le=500, example="1.2 mm")] | None = None
    rain_chance: (
        Annotated[
            Series,
            Q("%", "Chance that it rains during the step, or on its day by the period", ge=0, le=100, example="20 %"),
        ]
        | None
    ) = None
    wind_speed: Annotated[Series, Q("m/s", "Wind speed", ge=0, le=80, example="3 m/s")] | None = None
    irradiance: (
        Annotated[Series, Q("W/m2", "Sun and sky on a level surface", ge=0, le=1600, example="650 W/m2")] | None
    ) = None
    cloud: Annotated[Series, Q("%", "Share of the sky that is covered", ge=0, le=100, example="40 %")] | None = None
    surface_temperature: (
        Annotated[Series, Q("degC", "Temperature measured on the boards", ge=-60, le=110, example="24 degC")] | None
    ) = None


class WeatherDay(msgspec.Struct, frozen=True, kw_only=True):
    """One day of a forecast in a line, from which hours are made up."""

    date: Annotated[date, F("Day, by local clocks", example="2026-05-04")]
    warmest: Annotated[float, Q("degC", "Highest air temperature of the day", ge=-60, le=60, example="19 degC")]
    coldest: Annotated[
        float, Q("degC", "Lowest air temperature of the night before sunrise", ge=-60, le=60, example="9 degC")
    ]
    relative_humidity: Annotated[float, Q("%", "Mean relative humidity", ge=1, le=100, example="65 %")]
    wet_spells: (
        Annotated[
            str,
            F(
                "Hours of rain by local clocks, or none; left out is not known",
                pattern=WET_SPELLS,
                example="14-17",
                check=rain_spells,
            ),
        ]
        | None
    ) = None
    rain_chance: (
        Annotated[
            float, Q("%", "Chance that it rains that day, or in each hour by the period", ge=0, le=100, example="20 %")
        ]
        | None
    ) = None
    wind_speed: Annotated[float, Q("m/s", "Wind speed", ge=0, le=80, example="3 m/s")] | None = None
    cloud: Annotated[float, Q("%", "Share of the sky that is covered", ge=0, le=100, example="40 %")] | None = None


class Weather(msgspec.Struct, frozen=True, kw_only=True):
    """The weather: start, step, stamp and columns of a series, or a line for each day."""

    start: (
        Annotated[
            Moment,
            F(
                "Stamp of the first step, with an offset from UTC or in the local time of the timezone",
                example="2026-05-04T06:00:00-04:00",
            ),
        ]
        | None
    ) = None
    step: Annotated[float, Q("h", "Time from one step to the next", ge=1 / 60, le=3, example="1 h")] | None = None
    stamp: Annotated[Literal["start", "end"], F("Whether a stamp names the start or the end of its step")] | None = None
    columns: Annotated[WeatherColumns, F("What was recorded, by quantity")] | None = None
    days: Annotated[tuple[WeatherDay, ...], F("A line a day, instead of a series", max_items=62)] = ()
    rain_chance_period: (
        Annotated[
            ChancePeriod,
            F(
                "What each chance of rain is for, a day being from local midnight to midnight "
                "(default: the step of a series, the day of a line a day)"
            ),
        ]
        | None
    ) = None
    timezone: LocalZone | None = None
    remarks: Annotated[tuple[Remark, ...], F("What was found when a file of it was read", max_items=7)] = ()
