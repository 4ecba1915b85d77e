"""What moisture-readiness is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.moisture_readiness.fields import (
    DropRule,
    DropTest,
    LimitRule,
    MeanHumidity,
    MeanTemperature,
    MeanWind,
    MoistureReading,
    Now,
    ReadinessZone,
    SheetLimit,
    Start,
    WettingEvent,
    WoodWait,
)
from latewood.declare import F, Q
from latewood.records import Coating, Species
from latewood.rules.weathering import Weathered, WoodAge
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Latitude, LocalZone, Longitude


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """Zones, what was read and seen in them, what wetted them, and the weather."""

    zones: Annotated[tuple[ReadinessZone, ...], F("The zones, each judged by itself", ge=1, max_items=60)]
    readings: Annotated[tuple[MoistureReading, ...], F("Meter readings", max_items=1000)] = ()
    drop_tests: Annotated[tuple[DropTest, ...], F("Drops of water put on bare wood", max_items=200)] = ()
    wettings: Annotated[tuple[WettingEvent, ...], F("Washing, rain, frost or dew, past or planned", max_items=60)] = ()
    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")] | None = None
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    exposure: Annotated[Exposure, F("Shelter of the zones")] | None = None
    weathered: Weathered | None = None
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=5, le=100, example="25 mm")] | None = None
    weather: Annotated[Weather, F("The weather, by the hour or by the day")] | None = None
    temperature: MeanTemperature | None = None
    relative_humidity: MeanHumidity | None = None
    wind_speed: MeanWind | None = None
    now: Now | None = None
    start: Start | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    timezone: LocalZone | None = None
    moisture_limit: SheetLimit | None = None
    limit_rule: LimitRule | None = None
    drop_test_rule: DropRule | None = None
    new_wood_wait: WoodWait | None = None
    new_wood_age: WoodAge | None = None
    year_built: (
        Annotated[int, F("Year it was built; boards of this year count as new", ge=1600, le=2200, example=2026)] | None
    ) = None
    temperature_rule: (
        Annotated[
            Literal["handbook", "pfaff-garrahan"],
            F("Correction for the wood's temperature: the handbook's half point, or a fitted curve, recalled"),
        ]
        | None
    ) = None
    species_rule: (
        Annotated[
            Literal["correction", "resistance", "none"],
            F("Correction for the species: its record's, through resistance by a recalled table, or none"),
        ]
        | None
    ) = None
    wetted_depth: (
        Annotated[float, Q("mm", "How far the last wetting went into the wood", ge=0, le=20, example="1 mm")] | None
    ) = None
    outer_depth: (
        Annotated[float, Q("mm", "Depth whose mean must be at the limit", ge=1, le=30, example="6 mm")] | None
    ) = None
    confidence: (
        Annotated[float, Q("%", "Chance that the mean is below its bound", ge=75, le=99, example="95 %")] | None
    ) = None
    method: (
        Annotated[
            Literal["numerical", "closed-form"],
            F("Drying hour by hour, or by a series; the series where only a mean climate is known, if left out"),
        ]
        | None
    ) = None
