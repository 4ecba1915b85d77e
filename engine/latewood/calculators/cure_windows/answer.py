"""From inputs to the result: weather, gates, search, time line."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, Final

import numpy as np

from latewood.calculators.cure_windows import dangers, findings, rain_risk, rows, worked_steps
from latewood.calculators.cure_windows.assessment import judged
from latewood.calculators.cure_windows.cells import Cells, cells_of, open_hours, shade_of
from latewood.calculators.cure_windows.family import Family, family_of, limits_of
from latewood.calculators.cure_windows.fields import WorkShift, WorkStep
from latewood.calculators.cure_windows.forecast_case import ForecastCase
from latewood.calculators.cure_windows.gates import clock_of, coat_gating, gating, gating_of
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.no_window import nearest_miss
from latewood.calculators.cure_windows.search import Fit, fit, runs
from latewood.calculators.cure_windows.timeline import events, hand_over
from latewood.calculators.cure_windows.windows import Ranked, ranked, window
from latewood.declare import RecordLookup
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.quantities.instants import Moment, zone_of
from latewood.quantities.units import UnitError
from latewood.uncertainty import spread
from latewood.weather import Face, Hours, Place, face_of, resolve

#: Defaults of choices: judgement, but for the errors, which are those of a forecast a day or two ahead.
LAYING: Final = 3 * 3600.0
CHANCE: Final = 0.30
ERRORS: Final = (2.0, 0.10, 0.20)
MOST: Final = 5


def answer(x: Inputs, ledger: Ledger, known: RecordLookup) -> dict[str, Any]:
    """Return the fields of the result."""
    for fact in ("binder", "film", "wiped"):
        ledger.fact(fact, getattr(x.coating, fact))
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = resolve(x.weather, place, ledger)
    family = family_of(x.coating, x.product, ledger, known, species=x.species)
    face = _face(x, hours, place, ledger, known)
    own = x.exposure == "roofed" or x.board_temperature == "air" or bool(face.measured.all())
    lit = place.known or hours.irradiance is not None
    cells = cells_of(
        hours,
        face,
        chance_limit=_chance(x, hours, ledger),
        sheltered=x.exposure == "roofed",
        boards_known=own or lit,
    )
    steps = _steps(x, family, ledger)
    work = x.shift or WorkShift()
    at_work = open_hours(cells, work, _earliest(x, cells))
    limits = {
        kind: (known.record("outdoor-work", kind), limits_of(known.record("outdoor-work", kind).limits, ledger))
        for kind in dict.fromkeys(step.kind for step in steps if step.kind != "coat")
    }

    def scene(cells: Cells) -> ForecastCase:
        clock = clock_of(cells, family, night_counts=x.night == "counts")
        gatings = {"coat": coat_gating(cells, family, clock, x.dry_so_far)}
        for kind, (record, own) in limits.items():
            model = known.model("gates", record.models["gates"])
            gatings[kind] = gating(gating_of(cells, model, own, x.dry_so_far), cells.air.shape)
        return ForecastCase(
            cells=cells, clock=clock, gatings=gatings, may={kind: g.passes & at_work for kind, g in gatings.items()}
        )

    given = scene(cells)
    starts = np.flatnonzero(given.may[steps[0].kind]).astype(float)
    day = float(runs(at_work).max(initial=0.0))
    fitted = fit(steps, given.may, day, cells, family, given.clock, starts)
    wrong = {
        name: fit(steps, other.may, day, other.cells, family, other.clock, starts).whole
        for name, other in (
            *((name, scene(cells.wrong_by(**by))) for name, by in _errors(x, hours, cells).items()),
            *((name, scene(other)) for name, other in _otherwise(cells).items()),
        )
    }
    coats = [place for place, step in enumerate(steps) if step.kind == "coat"]
    order = ranked(fitted, coats, given.gatings["coat"], wrong)
    findings.conditions(x, cells, family, ledger)
    balanced = lit and not own
    if balanced:
        findings.assumed(hours, ledger)
    chosen = judged(x, steps, given, family, order, fitted, wrong, lambda moment: _cell(moment, "/start", x, cells))
    most = MOST if x.most is None else x.most
    windows = tuple(_window(i + 1, one, fitted, coats, given) for i, one in enumerate(order[:most]))
    miss = None if order else nearest_miss(steps, given.gatings, at_work, cells, family, fitted)

    def otherwise(other: Cells) -> Fit:
        there = scene(other)
        begins = np.flatnonzero(there.may[steps[0].kind]).astype(float)
        return fit(steps, there.may, day, other, family, there.clock, begins)

    if miss is not None and any(gate.startswith("hot") for gate in miss.gates):
        shaded = _face(x, hours, place, Ledger("shade"), known, shaded=True)
        findings.shade(otherwise(cells.with_face(shaded)), cells, ledger)
        if balanced and hours.wind_speed is None:
            airy = replace(hours, wind_speed=np.full(len(hours), findings.BREEZE))
            findings.breeze(otherwise(cells.with_face(_face(x, airy, place, Ledger("breeze"), known))), cells, ledger)
    if miss is not None and cells.day_chance is not None:
        free = otherwise(cells.without_chance())
        rain_risk.bearable(free, coats, cells, family, given.clock, ledger)
    laid = chosen.laid
    handed = () if laid is None else tuple(hand_over(laid, cells, family, given.clock))
    risk = rain_risk.rain_risk(laid, cells, family, given.clock, ledger)
    findings.outcome(x, chosen, handed, cells, family, ledger)
    dangers.state(x, chosen, cells, at_work, family, ledger)
    if ledger.steps is not None:
        worked_steps.work(chosen, cells, face, x, family, known, ledger)
    return {
        "verdict": "conditional" if x.first and chosen.verdict == "yes" else chosen.verdict,
        "text": findings.sentence(x.first, chosen, windows, miss, handed, cells),
        "first": () if chosen.verdict == "no" else x.first,
        **rows.totals(given),
        "windows": windows,
        "timeline": () if laid is None else tuple(events(laid, cells, family, given.clock)),
        "hand_over": handed,
        "nearest": miss,
        "rain_risk": risk,
        "hours": None if x.brief else rows.hours(given, ledger),
    }


def _face(x: Inputs, hours: Hours, place: Place, ledger: Ledger, known: RecordLookup, *, shaded: bool = False) -> Face:
    colour = x.board_colour
    if colour is None:
        colour = known.record("board-colour", "grey")
        ledger.use("input/board_colour", "grey", "default", note="weathered boards, or a brown hardwood just sanded")
    if x.exposure is None:
        ledger.use("input/exposure", "open", "default", note="open to sun, rain and sky")
    if x.heat_below is None:
        why = "nothing goes to the air below, which makes boards warmest by day and coldest by night"
        ledger.use("input/heat_below", "0 W/m2/K", "default", note=why)
    return face_of(
        hours,
        place,
        ledger,
        absorptance=colour.absorptance,
        emissivity=colour.emissivity,
        shade=1.0 if shaded else shade_of(hours, x.shade),
        exposure=x.exposure or "open",
        below=x.heat_below or 0.0,
        rule=x.board_temperature or "heat-balance",
    )


def _chance(x: Inputs, hours: Hours, ledger: Ledger) -> float:
    if x.rain_chance_limit is not None or (hours.rain_chance is None and hours.day_chance is None):
        return CHANCE if x.rain_chance_limit is None else x.rain_chance_limit
    ledger.use("input/rain_chance_limit", f"{CHANCE:.0%}", "default", note="a judgement; rain costs the coat")
    return CHANCE


def _steps(x: Inputs, family: Family, ledger: Ledger) -> tuple[WorkStep, ...]:
    """Return the steps given, or as many coats as the family has."""
    if x.steps:
        return x.steps
    laying = x.laying_time
    if laying is None:
        laying = LAYING
        why = "a small deck and two people; give your own time"
        ledger.default("laying_time", "3 h", effect=None, why=why)
    count = family.coats or max(round(spread.value(ledger.take(x.coating.coats))), 1)
    return tuple(WorkStep(id=f"coat-{place + 1}", kind="coat", duration=laying) for place in range(count))


def _errors(x: Inputs, hours: Hours, cells: Cells) -> dict[str, dict[str, float]]:
    """Return the errors of a forecast that a window should bear; weather that says nothing of rain cannot err in it."""
    kelvin = ERRORS[0] if x.temperature_error is None else x.temperature_error
    damp = ERRORS[1] if x.humidity_error is None else x.humidity_error
    wet = ERRORS[2] if x.rain_chance_error is None else x.rain_chance_error
    found = {"colder": {"warmer": -kelvin}, "warmer": {"warmer": kelvin}, "damper": {"damper": damp}}
    if (hours.rain_chance is not None or cells.day_chance is not None) and not cells.sheltered:
        found["wetter"] = {"wetter": wet}
    return found


def _otherwise(cells: Cells) -> dict[str, Cells]:
    """Return the weather as its forecast leaves open: when the rain of a day falls, and whether before work."""
    if cells.day_chance is None:
        return {}
    return {"rain-just-then": cells.with_rain(falls="just-then"), "rain-before": cells.with_rain(look_back=True)}


def _cell(moment: Moment, pointer: str, x: Inputs, cells: Cells) -> float:
    """Return how many cells after the start a moment lies; a local time is one of the weather's or the site's zone."""
    name = x.timezone or x.weather.timezone
    try:
        instant = moment.instant(None if name is None else zone_of(name))
    except UnitError as error:
        fault = Fault(pointer=pointer, code=error.code, detail=error.detail, expected=error.expected)
        raise InputProblem([fault]) from None
    return cells.cell_of(instant)


def _earliest(x: Inputs, cells: Cells) -> float:
    if x.earliest is None:
        return 0.0
    cell = _cell(x.earliest, "/earliest", x, cells)
    if cell >= len(cells):
        detail = "the earliest start lies after the weather given"
        raise InputProblem([Fault(pointer="/earliest", code="conflict", detail=detail, expected="a time within it")])
    return cell


def _window(place: int, one: Ranked, fitted: Fit, coats: list[int], given: ForecastCase) -> Any:
    at = int(np.flatnonzero(fitted.starts == one.best)[0])
    last = coats[-1] if coats else len(fitted.ends) - 1
    first = coats[0] if coats else 0
    coat = slice(int(fitted.begins[first][at]), int(fitted.ends[first][at]))
    return window(place, one, float(fitted.ends[last][at]), coat, given.gatings["coat"], given.cells)
