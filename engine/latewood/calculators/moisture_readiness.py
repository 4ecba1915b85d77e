"""Is the wood dry enough to be coated, and when will it be? Readings, wettings and weather, zone by zone."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators._moisture_readiness import say
from latewood.calculators._moisture_readiness.climate import climate_of
from latewood.calculators._moisture_readiness.clock import clock_of
from latewood.calculators._moisture_readiness.evidence import Practice
from latewood.calculators._moisture_readiness.fields import (
    CorrectedReading,
    DropRule,
    DropTest,
    LimitRule,
    MeanHumidity,
    MeanTemperature,
    MeanWind,
    MoistureReading,
    Now,
    Readiness,
    ReadinessZone,
    SheetLimit,
    Start,
    WettingEvent,
    WoodWait,
    ZoneReadiness,
)
from latewood.calculators._moisture_readiness.judge import worst
from latewood.calculators._moisture_readiness.predict import together
from latewood.calculators._moisture_readiness.refuse import refuse
from latewood.calculators._moisture_readiness.setting import Setting
from latewood.calculators._moisture_readiness.zones import zone_of
from latewood.declare import F, Known, Q, calculator
from latewood.formulas import air, diffusion, meter, movement, sampling, sorption
from latewood.provenance import Ledger
from latewood.records import Coating, Species
from latewood.rules.weathering import Weathered, WoodAge
from latewood.weather import Exposure, Place, Weather, resolve
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


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """A verdict for every zone, and for the whole the worst of them."""

    verdict: Annotated[Readiness, F("Whether all of it may be coated: the verdict on the worst zone")]
    zones: Annotated[tuple[ZoneReadiness, ...], F("The zones, in the order they were given")]
    readings: Annotated[tuple[CorrectedReading, ...], F("The readings, put right")]


@calculator(
    "moisture-readiness",
    "Moisture readiness",
    since="0.2",
    example={
        "zones": [{"id": "main", "area": "18 m2", "weathered": False}],
        "species": "ipe",
        "coating": "clear-penetrating-oil",
        "readings": [
            {
                "zone": "main",
                "reading": "13 %",
                "wood_temperature": "22 degC",
                "pin_depth": "7 mm",
                "position": "shade",
            },
            {
                "zone": "main",
                "reading": "12 %",
                "wood_temperature": "26 degC",
                "pin_depth": "7 mm",
                "position": "end-grain",
            },
            {"zone": "main", "reading": "12.5 %", "wood_temperature": "25 degC", "pin_depth": "7 mm"},
        ],
        "temperature": "20 degC",
        "relative_humidity": "65 %",
    },
    formulas=(
        sorption.equilibrium_moisture,
        sorption.equilibrium_humidity,
        sorption.greatest_moisture,
        meter.corrected_by_rule,
        meter.corrected_by_pfaff_garrahan,
        meter.corrected_for_species,
        sampling.upper_bound,
        movement.basic_density_from,
        air.saturation_pressure_over_water,
        air.vapour_pressure,
        air.wet_bulb,
        diffusion.bound_water_diffusivity,
        diffusion.transverse_diffusivity,
    ),
)
def moisture_readiness(x: Inputs, ledger: Ledger, known: Known) -> Result:
    """Find whether each zone is dry enough for its coating, and if not, when it will be and when to read again.

    Readings are put right for temperature and species; above what a meter can tell there is no number. Each zone goes
    by its highest reading and its scatter, never by the mean of the deck. A reading overrules the model of drying only
    if it was taken after the last wetting, at a stated depth, in a known species without salts or old coating;
    otherwise the wetter of the two counts. Water on the surface stops coating at any reading.
    """
    refuse(x)
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = None if x.weather is None else resolve(x.weather, place, ledger)
    clock = clock_of(x, hours, ledger)
    model = known.record("drying-model", "transverse-diffusion")
    setting = Setting(
        x=x,
        clock=clock,
        climate=climate_of(x, hours, clock, model, ledger),
        model=model,
        limits=x.limit_rule or known.record("moisture-limits", "usual"),
        ledger=ledger,
        known=known,
        practice=Practice(known.record("reading-practice", "usual"), ledger),
    )
    rows = together([zone_of(setting, zone) for zone in x.zones])
    say.wet_zones(setting, [(zone, seen) for zone, (_, _, seen) in zip(x.zones, rows, strict=True)])
    readings = sorted((reading for _, found, _ in rows for reading in found), key=lambda reading: int(reading.id))
    return Result(
        verdict=worst([zone.verdict for zone, _, _ in rows]),
        zones=tuple(zone for zone, _, _ in rows),
        readings=tuple(readings),
    )
