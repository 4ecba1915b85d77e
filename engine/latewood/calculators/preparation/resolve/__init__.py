"""What holds for a request to prepare a surface: its hazards, its climate, the routes and the records they rest on."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any, Final

import msgspec

from latewood.calculators.preparation.compute.drying import climate_of, in_mean
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.resolved import Climate, Resolved, Surface, WetBoards
from latewood.declare import RecordLookup
from latewood.messages import Length, Titled, Word, clause
from latewood.provenance import HERE, Ledger
from latewood.records import ConditionRule, MoistureLimits, Route
from latewood.records.moisture import DryingModel, WettingKind
from latewood.rules.air_pressure import pressure_at
from latewood.rules.faces import WHOLE, Part
from latewood.rules.hazards import Years, coating_seen, note_film_unnamed, years_of
from latewood.rules.hazards_found import Found, note_found, with_frame
from latewood.rules.new_wood import bead_wait, left, new_and_treated
from latewood.rules.route_work import RouteWork, route_work
from latewood.rules.sanding_work.method import Method, SandedFace, method_of
from latewood.rules.sign_actions import Measured, soil_seen, stops, too_hollow, unscuffed
from latewood.rules.surface_layers import covering_of, layer_met
from latewood.rules.wash_chemistry import by_hand, forbidden_on
from latewood.rules.wash_recipe import OnWood
from latewood.rules.weathering import Weathering, shows_grey, told_by, weathering
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number
from latewood.weather import Hours, Place
from latewood.weather import resolve as resolve_weather

#: The climate taken where none is given: the reference summer.
SUMMER: Final = Climate(293.15, 0.65)
#: The ends of what a week of the season is likely to be instead, in K and as a share; judgement.
OTHERS: Final = {"temperature": (283.15, 303.15), "relative_humidity": (0.50, 0.75)}
_MODEL = "transverse-diffusion"
#: People at work where none are told.
ALONE: Final = 1


def grade_ids(known: RecordLookup) -> Collection[str]:
    """Return the ids of all grades in the catalogue."""
    return known.records("abrasive").keys()


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return what preparation goes by."""
    x = _film_that_is_seen(x, ledger, known)
    years = years_of(x, known, ledger, x.as_of or x.start)
    hazards = _hazards(x, years, ledger)
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = None if x.weather is None else resolve_weather(x.weather, place, ledger)
    first = x.start or (x.as_of if hours is None else hours.at(0).date())
    rule: ConditionRule = known.record("condition-rule", "usual")
    measured = Measured(x.affected, x.underside_moisture, x.cup_depth)
    surface = _surface(x, hazards, first, measured, rule, ledger, known)
    washed: WettingKind = known.record("wetting-kind", "washed")
    model: DryingModel = known.record("drying-model", _MODEL)
    boards = WetBoards(x.species, x.thickness, x.exposure, model, pressure_at(x.elevation, ledger))
    depth = _depth(x, surface, washed, ledger)
    limit = _limit(x, ledger, known)
    method = _method(x, known, ledger)
    works = _works(x, surface, ledger, known)
    climate = _climate(x, hours, ledger)
    _default_drying(x, hours, surface.weathering, washed, partial(_wait, boards, climate, depth, limit), ledger)
    return Resolved(
        area=x.area,
        material=x.material or "wood",
        species=x.species,
        signs=x.signs,
        measured=measured,
        condition_rule=rule,
        beading=x.beading,
        old_coating=x.old_coating,
        grooved=x.profile == "grooved",
        extraction=x.extraction,
        surface=surface,
        years=years,
        first=first,
        # The day of the answer is no day of work.
        begins=first if x.start is not None or x.weather is not None else None,
        ready_by=x.ready_by,
        crew=x.crew or ALONE,
        day_length=x.day_length or 8 * 3600.0,
        hire_block=x.hire_block,
        prefer=x.prefer or "soonest",
        route=x.route,
        depth=depth,
        limit=limit,
        climate=climate,
        boards=boards,
        works=works,
        rates=known.records("rate"),
        own_rates={one.rate.id: one for one in x.rates},
        method=method,
        floor=tuple(_floor(x, method)),
        seen=layer_met(x.signs, surface.state, grey=surface.grey),
    )


def _film_that_is_seen(x: Inputs, ledger: Ledger, known: RecordLookup) -> Inputs:
    """Return the inputs with an unknown coating where a film is seen that no named coating makes."""
    old = coating_seen(x.old_coating, x.signs, known)
    if old is x.old_coating:
        return x
    note_film_unnamed(x.old_coating, "/old_coating", ledger)
    return msgspec.structs.replace(x, old_coating=old)


def _hazards(x: Inputs, years: Years, ledger: Ledger) -> Found:
    hazards, old = with_frame(x, years), x.old_coating
    hazards.state(ledger)
    note_found(hazards, years, ledger)
    ledger.fact("material", x.material or "wood")
    if old is not None and old != "none":
        # Its sanding dust heats itself as oily rags do.
        ledger.fact("binder", old.binder)
    return hazards


def _surface(
    x: Inputs,
    hazards: Found,
    first: date | None,
    measured: Measured,
    rule: ConditionRule,
    ledger: Ledger,
    known: RecordLookup,
) -> Surface:
    """Return what the surface is on the first morning, from the old coating, its age and what is seen."""
    state = covering_of(x.old_coating, x.signs)
    told = told_by(x, as_of=x.as_of or x.start, age=x.new_wood_age)
    found = weathering(told, known, ledger)
    grey = shows_grey(state, found, x.signs)
    halt = tuple(stops(x.signs, measured, rule, ledger))
    unscuffable = tuple(unscuffed(x.signs, measured, rule, ledger))
    new = new_and_treated(x.treatment, x.species, told, known, ledger, coated=state != "bare")
    return Surface(
        state=state,
        grey=grey,
        hazards=hazards,
        weathering=found,
        beads=_beads(x, new, first, ledger, known),
        halt=halt,
        unscuffed=unscuffable,
        too_hollow=too_hollow(measured, rule, ledger),
        untested=new and x.beading is None and x.material != "composite",
    )


def _beads(x: Inputs, new: bool, first: date | None, ledger: Ledger, known: RecordLookup) -> Number | None:
    """Return how long the wood waits before it is tested again, None where water does not bead on it, or it is old."""
    stands = x.beading in ("beads", "in-part") and x.material != "composite"
    if not stands or not new:
        return None
    wait = bead_wait(x.new_wood_wait, known, ledger)
    if x.beading_since is None or first is None:
        return wait
    return left(wait, (first - x.beading_since).total_seconds())


def _depth(x: Inputs, surface: Surface, washed: WettingKind, ledger: Ledger) -> float:
    """Return how deep a wash goes in: by the state of the boards, both an assumption."""
    if x.wetted_depth is not None:
        return x.wetted_depth
    return ledger.value(washed.depths["weathered" if surface.weathering.weathered else "sound"])


def _limit(x: Inputs, ledger: Ledger, known: RecordLookup) -> float:
    if x.moisture_limit is not None:
        return x.moisture_limit
    rule: MoistureLimits = x.limit_rule or known.record("moisture-limits", "usual")
    limit = rule.limit_for(x.coating, None if x.species is None else x.species.absorbency)
    why = clause("sheet-overrules", rule=Titled(rule))
    ledger.default("moisture_limit", limit.given, effect=None, why=why)
    return spread.value(ledger.take(limit))


def _method(x: Inputs, known: RecordLookup, ledger: Ledger) -> Method:
    """Return how the floor is sanded, with the caller's own paces of what is done by area."""
    return method_of(
        x.practice,
        x.stock,
        x.parts,
        known,
        ledger,
        last_grade=None if x.last_grade is None else x.last_grade.id,
        patches=x.patches,
        years_bare=x.years_bare,
        own_paces={own.rate.id: own.area_pace for own in x.rates if own.area_pace and own.rate.area_pace},
    )


def _floor(x: Inputs, method: Method) -> Iterator[SandedFace]:
    """Yield the faces of the floor; the layer on them is the route's to say."""
    edge = x.edge_strip
    faces: list[tuple[Part, float, float | None]] = [("field", x.area - (0.0 if edge is None else edge.area), None)]
    if edge is not None:
        faces.append(("perimeter", edge.area, edge.length))
    for part, area, length in faces:
        if area > 1e-9:
            yield SandedFace(
                zone=WHOLE,
                part=part,
                area=area,
                length=length,
                count=None,
                species=x.species,
                group="softwood" if x.species is None else x.species.group,
                coating=x.coating,
                condition="grey",
                machine=method.machine(part),
                choice=method.choices.get(part),
                grooved=x.profile == "grooved",
                cupped="cupping" in x.signs if x.signs else None,
                blend=method.blend(part),
            )


def _works(x: Inputs, surface: Surface, ledger: Ledger, known: RecordLookup) -> tuple[RouteWork, ...]:
    """Return the routes as they are done here, with what is to be washed off should they wash."""
    on = OnWood(soil_seen(x.signs, grey=surface.grey), x.old_coating, x.species)
    rule, hand = forbidden_on(surface.hazards), by_hand(surface.hazards)
    return tuple(route_work(route, on, known, rule, by_hand=hand) for route in _routes(ledger, known))


def _routes(ledger: Ledger, known: RecordLookup) -> Iterator[Route]:
    """Yield the routes of the catalogue that can be estimated for an area; a pack may have brought another kind."""
    rates = known.records("rate")
    for route in known.records("route").values():
        if "boards" not in route.serves:
            continue
        if all(rates[id].area_pace for step in route.steps for id in step.rate.values()):
            yield route
        else:
            ledger.find("route-not-compared", params={"route": route.id}, route=Titled(route))


def _climate(x: Inputs, hours: Hours | None, ledger: Ledger) -> Climate:
    if hours is not None:
        ledger.find("drying-by-weather", pointer="/weather")
        return climate_of(hours, 0)
    temperature = SUMMER.temperature if x.temperature is None else x.temperature
    humidity = SUMMER.relative_humidity if x.relative_humidity is None else x.relative_humidity
    return Climate(temperature, humidity)


def _wait(
    boards: WetBoards, climate: Climate, depth: float, limit: float, ledger: Ledger, name: str, value: Any
) -> Number:
    """Return how long boards dry in a mean climate where one of the numbers is another."""
    if value is HERE:
        pass
    elif name == "depth":
        depth = value
    else:
        climate = replace(climate, **{name: value})
    return in_mean(boards, climate, depth, limit, ledger.aside())[1]


def _default_drying(
    x: Inputs,
    hours: Hours | None,
    found: Weathering,
    washed: WettingKind,
    wait: Callable[[Ledger, str, Any], Number],
    ledger: Ledger,
) -> None:
    """Write down what was assumed of the drying, and what else would change the wait.

    In a mean climate the wait alone is computed again, in weather the whole comparison.
    """
    state, other = ("weathered", "sound") if found.weathered else ("sound", "weathered")
    here, there = washed.depths[state], washed.depths[other]

    def by(name: str) -> Callable[[Any], Number] | None:
        return partial(wait, ledger, name) if hours is None else None

    if x.wetted_depth is None:
        words = {"state": Word("boards-state", state), "other": Word("boards-state", other)}
        why = clause("depth-by-state", depth=Length(there.si), **words)
        ledger.default("wetted_depth", here.given, others=(there.si,), by=by("depth"), output="drying", why=why)
    if hours is None:
        for name, given in (("temperature", "20 degC"), ("relative_humidity", "65 %")):
            if getattr(x, name) is None:
                why = clause("temperate-summer")
                ledger.default(name, given, others=OTHERS[name], by=by(name), output="drying", why=why)
    depth = by("depth")
    turns = depth and (lambda value: depth(value if value is HERE else there.si))
    found.note(ledger, output="drying" if x.wetted_depth is None else "", by=turns)
