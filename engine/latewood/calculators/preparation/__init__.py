"""Which way to get an old surface off: sanding, washing, stripping and refreshing side by side."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

import msgspec
import numpy as np

from latewood.calculators.preparation.compare import compare
from latewood.calculators.preparation.comparison_reasons import Case
from latewood.calculators.preparation.drying import Dryer, climate_of
from latewood.calculators.preparation.eligibility import surface_of
from latewood.calculators.preparation.fields import RouteResult
from latewood.calculators.preparation.findings import say, test_again_on
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.open_still import Open, condition_of, say_open, still_open
from latewood.calculators.preparation.result import Result
from latewood.declare import RecordLookup, calculator
from latewood.formulas import fastening, heat, pace, removal, washing, wear
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import Route
from latewood.rules.days import ahead, built_ahead
from latewood.rules.hazard_fields import (
    frame_faults,
    lead_test_faults,
    proof_faults,
)
from latewood.rules.hazards import (
    Suspicion,
    coating_seen,
    say_film_unnamed,
    years_of,
)
from latewood.rules.hazards_found import say_found, with_frame
from latewood.rules.heads import fastening_faults
from latewood.rules.new_wood import tested_after
from latewood.rules.sign_actions import effects
from latewood.rules.sign_actions import say as say_signs
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_chemistry import reached
from latewood.rules.wash_recipe import strips
from latewood.rules.work import daylight, proud_steel, state_film, state_heat, state_mains, state_sanding
from latewood.weather import Place, resolve


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
def preparation(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
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


def _film_that_is_seen(x: Inputs, ledger: Ledger, known: RecordLookup) -> Inputs:
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


__all__ = ["Inputs", "Result", "preparation"]
