"""Which weather, boards, coating, work and limits hold for a request, and what was assumed for want of an answer."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any, Final

import numpy as np

from latewood.calculators.cure_windows.compute.cells import shade_of
from latewood.calculators.cure_windows.fields import WorkShift, WorkStep
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.resolve.family import family_of, limits_of
from latewood.calculators.cure_windows.resolved import Boards, Family, Resolved
from latewood.declare import RecordLookup
from latewood.messages import clause, refusal, unread
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.quantities.instants import Moment, zone_of
from latewood.quantities.units import UnitError
from latewood.records import BoardHeat, Coating
from latewood.rules.old_and_new_finish import note_pair, pair
from latewood.rules.work import state_coating
from latewood.uncertainty import spread
from latewood.weather import Hours, Place
from latewood.weather import resolve as weather_of
from latewood.weather.face import Slab

#: Defaults of choices: judgement, but for the errors, which are those of a forecast a day or two ahead.
LAYING: Final = 3 * 3600.0
CHANCE: Final = 0.30
ERRORS: Final = (2.0, 0.10, 0.20)
MOST: Final = 5


def resolve(x: Inputs, ledger: Ledger, known: RecordLookup) -> Resolved:
    """Return what the windows are looked for with."""
    over = pair(x.coating, x.old_coating)
    note_pair(over, ledger, pointer="/old_coating")
    state_coating(x.coating, ledger)
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = weather_of(x.weather, place, ledger)
    family = family_of(x.coating, x.product, ledger, known, species=x.species)
    heat = known.record("board-heat", "usual")
    boards = boards_of(x, hours, heat, ledger, known)
    face = boards.face(hours, place, ledger)
    if not np.isnan(face.board).all():
        ledger.take(heat.sky_difference)
    chance_limit = _chance(x, hours, ledger)
    steps = _steps(x, family, ledger)
    earliest = 0.0 if x.earliest is None else _within(x.earliest, "earliest", x, hours)
    other_work: dict[str, tuple[Callable[..., Any], dict[str, float]]] = {}
    for kind in dict.fromkeys(step.kind for step in steps if step.kind != "coat"):
        record = known.record("outdoor-work", kind)
        other_work[kind] = known.model("gates", record.models["gates"]), limits_of(record.limits, ledger)
    return Resolved(
        over=over,
        hours=hours,
        place=place,
        boards=boards,
        face=face,
        family=family,
        chance_limit=chance_limit,
        steps=steps,
        shift=x.shift or WorkShift(),
        earliest=earliest,
        start=None if x.start is None else _within(x.start, "start", x, hours),
        other_work=other_work,
        dry_so_far=x.dry_so_far,
        night_counts=x.night == "counts",
        errors=_errors(x, hours),
        most=MOST if x.most is None else x.most,
        brief=bool(x.brief),
        shades=x.shade,
        own_steps=bool(x.steps),
        others=tuple(_others(x, steps, known)),
    )


def _others(
    x: Inputs, steps: tuple[WorkStep, ...], known: RecordLookup
) -> Iterator[tuple[Coating, Family, tuple[WorkStep, ...]]]:
    """Yield the coatings that may be taken instead and go on this floor, each as its family has it."""
    laying = next((step.duration for step in steps if step.kind == "coat"), LAYING)
    for other in x.other_coatings:
        if other.id == x.coating.id or other.bare or pair(other, x.old_coating).refused:
            continue
        if {"cure-clock", "gates"} <= other.models.keys():
            aside = Ledger.scratch()
            family = family_of(other, None, aside, known, species=x.species)
            yield other, family, x.steps or _coats(other, family, laying, aside)


def boards_of(x: Inputs, hours: Hours, heat: BoardHeat, ledger: Ledger, known: RecordLookup) -> Boards:
    """Return how the boards take up sun and give off warmth."""
    colour = x.board_colour
    if colour is None:
        colour = known.record("board-colour", "grey")
        ledger.use("input/board_colour", "grey", "default", note=clause("usual-colour"))
    if x.exposure is None:
        ledger.use("input/exposure", "open", "default", note=clause("usual-exposure"))
    if x.heat_below is None:
        ledger.use("input/heat_below", clause("radiates-below"), "default", note=clause("usual-heat-below"))
    return Boards(
        absorptance=colour.absorptance,
        emissivity=colour.emissivity,
        shade=shade_of(hours, x.shade),
        exposure=x.exposure or "open",
        below=x.heat_below,
        slab=_slab(x, heat, ledger, known),
        rule=x.board_temperature or "heat-balance",
    )


def _slab(x: Inputs, heat: BoardHeat, ledger: Ledger, known: RecordLookup) -> Slab:
    """Return what of the boards stores heat."""
    thickness = x.thickness
    if thickness is None:
        usual = known.record("drying-model", "transverse-diffusion").thickness
        ledger.use("input/thickness", usual.given, "default", note=clause("usual-thickness"))
        thickness = ledger.value(usual)
    if x.species is None:
        ledger.use("input/species", clause("no-species"), "default", note=clause("usual-density"))
    density = heat.density if x.species is None else x.species.density
    return Slab(thickness=thickness, density=ledger.value(density), moisture=ledger.value(heat.moisture))


def _chance(x: Inputs, hours: Hours, ledger: Ledger) -> float:
    if x.rain_chance_limit is not None:
        return x.rain_chance_limit
    if hours.rain_chance is not None or hours.day_chance is not None:
        ledger.use("input/rain_chance_limit", f"{CHANCE:.0%}", "default", note=clause("chance-by-judgement"))
    return CHANCE


def _steps(x: Inputs, family: Family, ledger: Ledger) -> tuple[WorkStep, ...]:
    """Return the steps given, or as many coats as the family has."""
    if x.steps:
        return x.steps
    laying = x.laying_time
    if laying is None:
        laying = LAYING
        ledger.default("laying_time", "3 h", effect=None, why=clause("usual-laying-time"))
    return _coats(x.coating, family, laying, ledger)


def _coats(coating: Coating, family: Family, laying: float, ledger: Ledger) -> tuple[WorkStep, ...]:
    """Return as many coats as the family has."""
    count = family.coats or max(round(spread.value(ledger.take(coating.coats))), 1)
    return tuple(WorkStep(id=f"coat-{place + 1}", kind="coat", duration=laying) for place in range(count))


def _errors(x: Inputs, hours: Hours) -> dict[str, dict[str, float]]:
    """Return the errors of a forecast that a window should bear; weather that says nothing of rain cannot err in it."""
    kelvin = ERRORS[0] if x.temperature_error is None else x.temperature_error
    damp = ERRORS[1] if x.humidity_error is None else x.humidity_error
    wet = ERRORS[2] if x.rain_chance_error is None else x.rain_chance_error
    found = {"colder": {"warmer": -kelvin}, "warmer": {"warmer": kelvin}, "damper": {"damper": damp}}
    if (hours.rain_chance is not None or hours.day_chance is not None) and x.exposure != "roofed":
        found["wetter"] = {"wetter": wet}
    return found


def _within(moment: Moment, field: str, x: Inputs, hours: Hours) -> float:
    """Return how many steps after the start of the weather a moment lies; a local time is one of the site's zone."""
    name = x.timezone or x.weather.timezone
    try:
        at = hours.index_of(moment.instant(None if name is None else zone_of(name)))
    except UnitError as error:
        raise InputProblem([unread(error, f"/{field}")]) from None
    if at >= len(hours) or (field == "start" and at < 0):
        outside = "earliest-after-weather" if field == "earliest" else "start-outside-weather"
        raise InputProblem([refusal(outside, f"/{field}")])
    return at
