"""Parts of what moisture-readiness takes and answers."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.instants import Moment
from latewood.records import DropTestRule, MoistureLimits, MoistureMeter, NewWoodWait, Species, WettingKind
from latewood.records.base import Treatment
from latewood.rules.weathering import Weathered
from latewood.uncertainty.spread import Number
from latewood.weather import Exposure

ZONE = r"^[a-z][a-z0-9-]{0,39}$"
Position = Literal["typical", "sun", "shade", "low-clearance", "end-grain", "wet-spot"]
Readiness = Literal["ready", "ready-if-reread", "not-ready", "unknown"]


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
    wetted_depth: (
        Annotated[float, Q("mm", "How far the last wetting went into the wood", ge=0, le=20, example="1 mm")] | None
    ) = None


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


class CorrectedReading(msgspec.Struct, frozen=True, kw_only=True):
    """One reading put right, or the reason why it is no number."""

    id: Annotated[str, F("Place among the readings, from 1")]
    zone: Annotated[str, F("Zone it was taken in")]
    reading: Annotated[float, Q("%", "Moisture content the meter showed")]
    corrected: Annotated[Number, Q("%", "Moisture content of the wood; left out where there is no number")] | None = (
        None
    )
    usable: Annotated[bool, F("Whether it counts")]
    overrules: Annotated[bool, F("Whether it overrules the model of drying")]
    why: Annotated[str, F("Why it does not count, or does not overrule")] | None = None


class CurvePoint(msgspec.Struct, frozen=True, kw_only=True):
    """One point of how the zone dries from now on."""

    id: Annotated[str, F("Hours from now")]
    after: Annotated[float, Q("h", "Time from now")]
    outer_moisture: Annotated[Number, Q("%", "Mean moisture content of the outer layer")]


class ZoneReadiness(msgspec.Struct, frozen=True, kw_only=True):
    """Whether a zone is dry enough, and when it will be."""

    id: Annotated[str, F("Name of the zone")]
    verdict: Annotated[Readiness, F("Whether it may be coated")]
    reasons: Annotated[tuple[str, ...], F("Why the verdict is what it is")]
    count: Annotated[int, F("Readings that count")]
    mean: Annotated[float, Q("%", "Mean of the corrected readings")] | None = None
    deviation: Annotated[float, Q("%", "Standard deviation of the corrected readings")] | None = None
    highest: Annotated[float, Q("%", "Highest corrected reading")] | None = None
    upper_bound: Annotated[float, Q("%", "Upper confidence bound of the mean")] | None = None
    moisture_limit: Annotated[float, Q("%", "Highest moisture content for this coating on this wood")]
    readings_wanted: Annotated[int, F("Readings this zone takes in all, at most 8")]
    where_to_read: Annotated[tuple[str, ...], F("Where to take the readings")]
    equilibrium: Annotated[float, Q("%", "Moisture content the wood is heading to in this weather")] | None = None
    model_moisture: Annotated[Number, Q("%", "Outer layer now, by the model of drying")] | None = None
    wetted_depth: Annotated[float, Q("mm", "Depth of wetting the prediction rests on")] | None = None
    time_to_ready: (
        Annotated[
            Number,
            Q("h", "Time from now until the outer layer stays at the limit and drops are due; left out where never"),
        ]
        | None
    ) = None
    time_to_ready_shallow: Annotated[Number, Q("h", "The same, wetted as deep as sound wood is")] | None = None
    time_to_ready_deep: Annotated[Number, Q("h", "The same, wetted as deep as weathered wood is")] | None = None
    dry_by: (
        Annotated[datetime, F("Median time by which the outer layer stays at the limit, whatever drops say")] | None
    ) = None
    never: Annotated[bool, F("Whether this weather never gets the wood there")]
    humidity_needed: Annotated[float, Q("%", "Mean humidity below which it would")] | None = None
    read_again_after: Annotated[float, Q("h", "Time from now after which to measure again")] | None = None
    read_again: Annotated[datetime, F("When to measure again")] | None = None
    test_again_after: (
        Annotated[Number, Q("h", "Time from now until drops are put on it again; new treated wood waits")] | None
    ) = None
    test_again: Annotated[datetime, F("Earliest time to put drops on it again")] | None = None
    curve: Annotated[tuple[CurvePoint, ...], F("How the outer layer dries")]
