"""What preparation is asked."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from latewood.calculators.preparation.fields import EdgeStrip, Prefer, RateOverride
from latewood.declare import F, Q
from latewood.records import Coating, MoistureLimits, NewWoodWait, Route
from latewood.rules.days import AsOf
from latewood.rules.hazards import OldSurface
from latewood.rules.heads import FastenerCover, Fastening
from latewood.rules.lead import Extraction
from latewood.rules.sanding_work.fields import LastGrade, SandPart, SandPatch, StockGrade, WayOfSanding, YearsBare
from latewood.rules.signs import Beading, CupDepth, DamagedShare, Sign, UndersideMoisture
from latewood.rules.weathering import Weathered, WoodAge
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Elevation, Latitude, LocalZone, Longitude


class Inputs(OldSurface, frozen=True, kw_only=True):
    """One surface to be prepared, the crew and climate it is prepared in, and what it must be ready for."""

    area: Annotated[float, Q("m2", "Area to prepare", ge=0.01, le=1e5, example="320 ft2")]
    signs: Annotated[tuple[Sign, ...], F("What is seen on it", max_items=30)] = ()
    beading: Annotated[Beading, F("Whether drops of water bead on the old coat, or on the bare wood")] | None = None
    beading_since: (
        Annotated[date, F("Day water was first seen to bead; the day of the answer if left out", example="2026-05-04")]
        | None
    ) = None
    affected: DamagedShare | None = None
    cup_depth: CupDepth | None = None
    underside_moisture: UndersideMoisture | None = None
    weathered: Weathered | None = None
    new_wood_age: WoodAge | None = None
    new_wood_wait: (
        Annotated[NewWoodWait, F("Rule for new treated wood; measuring if left out", example="measure")] | None
    ) = None
    as_of: AsOf | None = None
    profile: Annotated[Literal["smooth", "grooved"], F("Face of the boards; smooth if left out")] | None = None
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=3, le=200, example="25 mm")] | None = None
    fastener_cover: FastenerCover | None = None
    fasteners: Annotated[int, F("Fasteners of the floor", ge=0, le=1_000_000, example=676)] | None = None
    fastening: Annotated[Fastening, F("What holds the boards")] | None = None
    coating: Annotated[Coating, F("Coating to be applied", example="clear-penetrating-oil")] | None = None
    moisture_limit: (
        Annotated[float, Q("%", "Moisture content at which it may be coated", ge=5, le=30, example="15 %")] | None
    ) = None
    limit_rule: (
        Annotated[MoistureLimits, F("Rule for the limit; the usual one if left out", example="usual")] | None
    ) = None
    wetted_depth: (
        Annotated[float, Q("mm", "Depth a wash goes in from the surface", ge=0.1, le=20, example="3 mm")] | None
    ) = None
    temperature: (
        Annotated[float, Q("degC", "Mean temperature while it dries", ge=-30, le=60, example="20 degC")] | None
    ) = None
    relative_humidity: (
        Annotated[float, Q("%", "Mean relative humidity while it dries", ge=1, le=100, example="65 %")] | None
    ) = None
    weather: (
        Annotated[Weather, F("Weather from the first morning on, by the hour or by the day, instead of a mean")] | None
    ) = None
    exposure: Annotated[Exposure, F("Shelter of the surface; open if left out")] | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    elevation: Elevation | None = None
    timezone: LocalZone | None = None
    crew: Annotated[int, F("People at work; 1 if left out", ge=1, le=50, example=2)] | None = None
    day_length: (
        Annotated[float, Q("h", "Working time in a day; 8 h if left out", ge=4, le=16, example="8 h")] | None
    ) = None
    rates: Annotated[tuple[RateOverride, ...], F("Paces of one's own, instead of the shelf's", max_items=50)] = ()
    extraction: Annotated[Extraction, F("Extraction at the sanders; none if left out")] | None = None
    start: Annotated[date, F("First day of work", example="2026-06-01")] | None = None
    ready_by: Annotated[date, F("Day by which coating must be able to begin", example="2026-06-05")] | None = None
    hire_block: (
        Annotated[float, Q("h", "Time sanders are hired for at once", ge=0.5, le=1000, example="4 h")] | None
    ) = None
    prefer: Annotated[Prefer, F("What decides between routes that may be taken; soonest if left out")] | None = None
    practice: WayOfSanding | None = None
    last_grade: LastGrade | None = None
    years_bare: YearsBare | None = None
    stock: Annotated[
        tuple[StockGrade, ...], F("Abrasive at hand; every grade of the P series if left out", max_items=100)
    ] = ()
    parts: Annotated[tuple[SandPart, ...], F("Machines and grades of field and perimeter", max_items=2)] = ()
    patches: Annotated[tuple[SandPatch, ...], F("What trials on this floor showed", max_items=100)] = ()
    edge_strip: Annotated[EdgeStrip, F("Strip along walls and posts, counted in the area")] | None = None
    route: Annotated[Route, F("Route that was chosen, to be held against the others", example="sand")] | None = None
