"""Which way to get an old surface off: sanding, washing, stripping and refreshing side by side."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Annotated, Literal

import msgspec
import numpy as np

from latewood.calculators._preparation.argue import Case, Prefer
from latewood.calculators._preparation.compare import compare
from latewood.calculators._preparation.drying import Dryer, climate_of
from latewood.calculators._preparation.fields import RateOverride, RouteResult
from latewood.calculators._preparation.open_still import Open, condition_of, say_open, still_open
from latewood.calculators._preparation.say import say, test_again_on
from latewood.calculators._preparation.suit import surface_of
from latewood.declare import F, Known, Q, calculator
from latewood.formulas import fastening, heat, pace, removal, washing, wear
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import Coating, MoistureLimits, NewWoodWait, Route, Species
from latewood.rules.days import AsOf, ahead, built_ahead
from latewood.rules.hazard_fields import (
    Frame,
    LeadTested,
    LeadTestedBy,
    LeadTestedOn,
    MadeOf,
    OldCoating,
    Preservative,
    PreservativeProof,
    frame_faults,
    lead_test_faults,
    proof_faults,
)
from latewood.rules.hazards import (
    Suspicion,
    YearRules,
    coating_seen,
    say_film_unnamed,
    years_of,
)
from latewood.rules.hazards_found import say_found, with_frame
from latewood.rules.heads import Fastening, fastening_faults
from latewood.rules.lead import Extraction
from latewood.rules.new_wood import tested_after
from latewood.rules.sign_actions import SignEffect, effects
from latewood.rules.sign_actions import say as say_signs
from latewood.rules.signs import Beading, Sign
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_chemistry import reached
from latewood.rules.wash_recipe import strips
from latewood.rules.weathering import Weathered, WoodAge
from latewood.rules.work import daylight, proud_steel, state_film, state_heat, state_mains, state_sanding
from latewood.spread import Number
from latewood.weather import Exposure, Place, Weather, resolve
from latewood.weather.fields import Latitude, LocalZone, Longitude


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """One surface to be prepared, the crew and climate it is prepared in, and what it must be ready for."""

    area: Annotated[float, Q("m2", "Area to prepare", ge=0.01, le=1e5, example="320 ft2")]
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    material: MadeOf | None = None
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    frame: Frame | None = None
    old_coating: OldCoating | None = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    year_built: Annotated[int, F("Year it was built", ge=1600, le=2200, example=1996)] | None = None
    jurisdiction: YearRules | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it", max_items=30)] = ()
    beading: Annotated[Beading, F("Whether drops of water bead on the old coat, or on the bare wood")] | None = None
    beading_since: (
        Annotated[date, F("Day water was first seen to bead; the day of the answer if left out", example="2026-05-04")]
        | None
    ) = None
    affected: Annotated[float, Q("%", "Share of the boards that is damaged", ge=0, le=100, example="10 %")] | None = (
        None
    )
    cup_depth: Annotated[float, Q("mm", "Hollow across a cupped board", ge=0, le=50, example="2 mm")] | None = None
    underside_moisture: (
        Annotated[float, Q("%", "Moisture content at the underside", ge=3, le=200, example="18 %")] | None
    ) = None
    weathered: Weathered | None = None
    new_wood_age: WoodAge | None = None
    new_wood_wait: (
        Annotated[NewWoodWait, F("Rule for new treated wood; measuring if left out", example="measure")] | None
    ) = None
    as_of: AsOf | None = None
    profile: Annotated[Literal["smooth", "grooved"], F("Face of the boards; smooth if left out")] | None = None
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=3, le=200, example="25 mm")] | None = None
    fastener_cover: (
        Annotated[float, Q("mm", "Wood above the heads of the fasteners", ge=-20, le=50, example="2 mm")] | None
    ) = None
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
    route: Annotated[Route, F("Route that was chosen, to be held against the others", example="sand")] | None = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """The routes side by side, and the one to take."""

    recommendation: Annotated[str, F("Route to take; none where every one is ruled out")]
    chosen: Annotated[str, F("Route the plan goes by: the caller's, else the recommended one; none where nothing goes")]
    arsenical: Annotated[Suspicion, F("Whether the wood may hold arsenic")]
    frame_arsenical: Annotated[Suspicion, F("Whether the frame under it may hold arsenic")]
    lead_paint: Annotated[Suspicion, F("Whether the old coating may hold lead")]
    drying_time: (
        Annotated[Number, Q("h", "Wait after a wash until the wood may be coated; left out where it never may")] | None
    ) = None
    test_again_after: (
        Annotated[Number, Q("h", "Time until drops are put on it again; new treated wood on which they bead waits")]
        | None
    ) = None
    test_again_on: Annotated[date, F("Earliest day to put drops on it again")] | None = None
    signs: Annotated[tuple[SignEffect, ...], F("What comes of each sign on the route the plan goes by")] = ()
    rests_on: Annotated[tuple[Open, ...], F("What is not known yet and may change the route the plan goes by")] = ()
    routes: Annotated[tuple[RouteResult, ...], F("Every route, the recommended one first")]


@calculator(
    "preparation",
    "Preparation: which route to take",
    since="0.3",
    example={
        "area": "320 ft2",
        "species": "ipe",
        "treatment": "none",
        "old_coating": "none",
        "year_built": 2011,
        "jurisdiction": "US-NY",
        "signs": ["grey"],
        "coating": "clear-penetrating-oil",
        "temperature": "20 degC",
        "relative_humidity": "65 %",
        "crew": 2,
    },
    formulas=(
        pace.time_by_area,
        pace.time_by_count,
        fastening.heads_to_treat,
        fastening.share_in_sample,
        fastening.share_half_width,
        removal.depth_at_density,
        removal.layer_depth,
        wear.discs_worn,
        washing.wash_volume,
        washing.active_mass,
        washing.product_mass,
        washing.rinse_volume,
    ),
)
def preparation(x: Inputs, ledger: Ledger, known: Known) -> Result:
    """Compare the ways to prepare an old surface: days with drying, hours, depth, material, damage and hazards.

    A washed floor waits to dry and is sanded all the same; where no film is on it, sanding alone is usually done
    first. A hazard forbids a route with its reason, never in silence, and no route is washed after the last sanding.
    """
    _refuse(x)
    x = _film_that_is_seen(x, ledger, known)
    years = years_of(x, known, ledger, _today(x))
    hazards, old = with_frame(x, years), x.old_coating
    hazards.state(ledger)
    say_found(hazards, years, ledger)
    ledger.fact("material", x.material or "wood")
    if old is not None and old != "none":
        # Its sanding dust heats itself as oily rags do.
        ledger.fact("binder", old.binder)
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = None if x.weather is None else resolve(x.weather, place, ledger)
    first = x.start or (x.as_of if hours is None else hours.at(0).date())
    surface = surface_of(x, hazards, first, ledger, known)
    compared = compare(x, surface, hours, first, ledger, known)
    say(x, surface, compared, first, ledger, known)
    acid = reached(hazards) is None
    say_signs(x.signs, ledger, acid=acid)
    if surface.halt:
        ledger.fact("structure", "doubt")
    best, chosen = compared.best, compared.chosen
    goes = chosen if chosen is not None and chosen.standing != "forbidden" else None
    _state_film(x, None if goes is None else goes.route, hazards.lead, ledger)
    if goes is not None:
        _state_work(x, goes.route, ledger)
        _state_day(x, goes, tested_after(surface.beads), compared.dryer, ledger)
    if chosen is not None and chosen.route.wets:
        hazards.state_frame(ledger)
    asked = still_open(x, surface, chosen)
    if chosen is not None:
        say_open(chosen.route.title, asked, ledger)
    return Result(
        recommendation="none" if best is None else best.route.id,
        chosen="none" if chosen is None else chosen.route.id,
        arsenical=hazards.arsenical,
        frame_arsenical=hazards.frame_arsenical,
        lead_paint=hazards.lead,
        drying_time=compared.dry.wait,
        test_again_after=surface.beads,
        test_again_on=test_again_on(first, surface.beads),
        signs=effects(x.signs, None if chosen is None else chosen.route, surface.halt, acid=acid),
        rests_on=asked,
        routes=tuple(_on_condition(row, chosen, asked) for row in compared.rows),
    )


def _on_condition(row: RouteResult, chosen: Case | None, asked: tuple[Open, ...]) -> RouteResult:
    """Return a route with what it rests on among its reasons, where the plan goes by it."""
    if chosen is None or row.id != chosen.route.id:
        return row
    return msgspec.structs.replace(row, reasons=(*row.reasons, *condition_of(asked)))


def _state_film(x: Inputs, route: Route | None, lead: Suspicion, ledger: Ledger) -> None:
    """State whether an old film comes off: where no route may be taken somebody reaches for heat or a stripper."""
    if x.material == "composite":
        return
    film = covering_of(x.old_coating, x.signs) == "film" and (route is None or "film" not in route.leaves)
    state_film(ledger, film=film, lead=lead if route is None or route.sands or route.wets else "no")


def _state_work(x: Inputs, route: Route, ledger: Ledger) -> None:
    """State what the chosen route brings with it, for the cautions."""
    if route.sands:
        state_sanding(ledger, proud=proud_steel(x.signs, x.fastener_cover), wet=route.wets)
    if route.wets:
        ledger.fact("washing", True)
        state_mains(ledger, "wet")
    if strips(route):
        ledger.fact("stripper", "chemical")


def _state_day(x: Inputs, chosen: Case, waits: int, dryer: Dryer, ledger: Ledger) -> None:
    """State how hot it gets from the first day of work to the last, and whether a working day outlasts the light."""
    hours = dryer.climate.hours
    first = None if dryer.first is None else dryer.first + timedelta(days=waits)
    worked = np.zeros(0, dtype=bool)
    if hours is not None and first is not None:
        begins = (first - hours.at(0).date()).days
        days = max((chosen.day or 1) - waits, 1)
        worked = (hours.day >= begins) & (hours.day < begins + days) & ~np.isnan(hours.air_temperature)
        worked &= ~np.isnan(hours.relative_humidity)
    if hours is not None and worked.any():
        index = heat.heat_index(
            temperature=hours.air_temperature[worked], relative_humidity=hours.relative_humidity[worked]
        )
        state_heat(ledger, float(np.max(index)))
    else:
        mean = dryer.climate if hours is None else climate_of(hours)
        warm = heat.heat_index(temperature=mean.temperature, relative_humidity=mean.relative_humidity)
        state_heat(ledger, float(warm))
    day = first if x.start is not None or hours is not None else None
    if x.day_length is not None and x.latitude is not None and day is not None:
        ledger.fact("after_dark", x.day_length > daylight(day, x.latitude))


def _film_that_is_seen(x: Inputs, ledger: Ledger, known: Known) -> Inputs:
    """Return the inputs with an unknown coating where a film is seen that no named coating makes."""
    old = coating_seen(x.old_coating, x.signs, known)
    if old is x.old_coating:
        return x
    say_film_unnamed(x.old_coating, "/old_coating", ledger)
    return msgspec.structs.replace(x, old_coating=old)


def _since_when(x: Inputs, today: date | None) -> Iterator[Fault]:
    """Find a day of beading that has no effect, or lies ahead."""
    if x.beading_since is not None and x.beading not in ("beads", "in-part"):
        detail = "beading_since has no effect where water is not said to bead"
        yield Fault(pointer="/beading_since", code="conflict", detail=detail, expected="beading = beads, or in-part")
    else:
        yield from ahead(x.beading_since, today, "/beading_since", "the day")


def _today(x: Inputs) -> date | None:
    return x.as_of or x.start


def _refuse(x: Inputs) -> None:
    faults = []
    for index, own in enumerate(x.rates):
        wanted = "time" if own.rate.time is not None else "area_pace"
        other = "area_pace" if wanted == "time" else "time"
        if getattr(own, wanted) is None or getattr(own, other) is not None:
            detail = f"{own.rate.title} is given by its {wanted.replace('_', ' ')}"
            faults.append(Fault(pointer=f"/rates/{index}/{wanted}", code="conflict", detail=detail, expected=wanted))
    if x.ready_by is not None and x.start is None:
        detail = "a day to be ready by says nothing without a first day of work"
        faults.append(Fault(pointer="/start", code="missing", detail=detail, expected="the first day of work"))
    if x.start is not None and x.ready_by is not None and x.ready_by < x.start:
        detail = "it is to be ready before work begins"
        faults.append(Fault(pointer="/ready_by", code="conflict", detail=detail, expected="a later day"))
    today = _today(x)
    faults += built_ahead(x.year_built, today)
    faults += _since_when(x, today)
    if x.weather is not None:
        for name in ("temperature", "relative_humidity"):
            if getattr(x, name) is not None:
                detail = "weather and a mean of it are both given"
                faults.append(Fault(pointer=f"/{name}", code="conflict", detail=detail, expected="either of them"))
    faults += [*lead_test_faults(x, today=today), *proof_faults(x), *frame_faults(x.frame, "/frame")]
    if x.fastening is not None:
        faults += fastening_faults(x.fastening, "/fastening")
    if faults:
        raise InputProblem(faults)
