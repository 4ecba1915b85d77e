"""What moisture-readiness is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.instants import Moment
from latewood.records import Coating, DropTestRule, MoistureLimits, MoistureMeter, NewWoodWait, Species, WettingKind
from latewood.records.base import Treatment
from latewood.rules.weathering import Weathered, WoodAge
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Elevation, Latitude, LocalZone, Longitude

ZONE = r"^[a-z][a-z0-9-]{0,39}$"
Position = Literal["typical", "sun", "shade", "low-clearance", "end-grain", "wet-spot"]

#: Fields that a job asks for in the same words and bounds as the calculator it hands them to.
Now = Annotated[Moment, F("Now; the last time given, if left out", example="2026-05-04T09:00:00-04:00")]
Start = Annotated[Moment, F("Planned start of coating", example="2026-05-05T09:00:00-04:00")]
MeanTemperature = Annotated[
    float, Q("degC", "Mean air temperature, where there is no weather", ge=-30, le=60, example="20 degC")
]
MeanHumidity = Annotated[
    float, Q("%", "Mean relative humidity, where there is no weather", ge=1, le=100, example="65 %")
]
MeanWind = Annotated[float, Q("m/s", "Mean wind speed, where there is no weather", ge=0, le=40, example="1 m/s")]
SheetLimit = Annotated[float, Q("%", "Highest moisture content by the product's sheet", ge=5, le=30, example="16 %")]
LimitRule = Annotated[MoistureLimits, F("Rule for the limit; the usual one if left out", example="usual")]
DropRule = Annotated[DropTestRule, F("Rule for drops; 30 seconds if left out", example="within-30-seconds")]
WoodWait = Annotated[NewWoodWait, F("Rule for new treated wood; measuring if left out", example="measure")]
WettedDepth = Annotated[float, Q("mm", "How far the last wetting went into the wood", ge=0, le=20, example="1 mm")]


class ReadinessZone(msgspec.Struct, frozen=True, kw_only=True):
    """A zone that is judged by itself."""

    id: Annotated[str, F("Name of the zone", pattern=ZONE, max_length=40, example="main")]
    area: (
        Annotated[float, Q("m2", "Floor area, for how many readings it takes", ge=0, le=1e6, example="30 m2")] | None
    ) = None
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None
    exposure: Annotated[Exposure, F("Shelter of the zone")] | None = None
    treatment: Annotated[Treatment, F("Preservative in the wood")] | None = None
    coated_before: Annotated[bool, F("Whether an old coating is still in or on the wood")] | None = None
    weathered: Weathered | None = None
    mixed_age: Annotated[bool, F("Whether boards of different age or wood lie side by side")] | None = None
    surface_wet: Annotated[bool, F("Whether water is seen on the boards")] | None = None
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=5, le=100, example="25 mm")] | None = None
    gap: Annotated[float, Q("mm", "Gap between boards", ge=0, le=50, example="5 mm")] | None = None
    wetted_depth: WettedDepth | None = None


class MoistureReading(msgspec.Struct, frozen=True, kw_only=True):
    """One reading of a meter, as the meter shows it."""

    zone: Annotated[str, F("Zone it was taken in", pattern=ZONE, max_length=40, example="main")]
    reading: Annotated[float, Q("%", "Moisture content the meter shows", ge=0, le=200, example="14 %")]
    taken: Annotated[Moment, F("When it was taken", example="2026-05-04T09:00:00-04:00")] | None = None
    meter: Annotated[MoistureMeter, F("Kind of meter; resistance if left out", example="resistance")] | None = None
    pin_depth: Annotated[float, Q("mm", "Depth of the pins' tips", ge=0, le=60, example="8 mm")] | None = None
    species: Annotated[Species, F("Species of this board, where it differs", example="ipe")] | None = None
    wood_temperature: (
        Annotated[float, Q("degC", "Temperature of the wood", ge=-30, le=70, example="25 degC")] | None
    ) = None
    compensated: Annotated[bool, F("Whether the meter corrects for temperature itself")] | None = None
    species_set: Annotated[bool, F("Whether the meter was set to this species")] | None = None
    position: Annotated[Position, F("Where in the zone")] | None = None
    surface_wet: Annotated[bool, F("Whether water is seen on this board")] | None = None


class DropTest(msgspec.Struct, frozen=True, kw_only=True):
    """A drop of water put on the bare wood."""

    zone: Annotated[str, F("Zone it was made in", pattern=ZONE, max_length=40, example="main")]
    soak_time: Annotated[float, Q("s", "Time until it had soaked in", ge=0, le=7200, example="12 s")] | None = None
    beads: Annotated[bool, F("Whether it beads or stays standing")] | None = None
    sanded: Annotated[bool, F("Whether the final sanding was done")] | None = None
    taken: Annotated[Moment, F("When it was made; now if left out", example="2026-05-04T09:00:00-04:00")] | None = None


class WettingEvent(msgspec.Struct, frozen=True, kw_only=True):
    """Something that wetted the deck, or will."""

    cause: Annotated[WettingKind, F("What wetted the wood", example="washed")]
    at: Annotated[Moment, F("When it ended; now if left out", example="2026-05-03T16:00:00-04:00")] | None = None
    zone: (
        Annotated[str, F("Zone it wetted; all of them if left out", pattern=ZONE, max_length=40, example="main")] | None
    ) = None


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
    elevation: Elevation | None = None
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
    wetted_depth: WettedDepth | None = None
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
