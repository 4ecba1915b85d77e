"""Every route of the shelf on one surface, reckoned, judged and put in order."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final

from latewood.calculators.preparation.comparison_reasons import Case, reasons, recommended
from latewood.calculators.preparation.drying import Climate, Dryer, Drying, climate_of, in_mean
from latewood.calculators.preparation.eligibility import Surface, damage, forbidden, unsuitable
from latewood.calculators.preparation.estimate import Estimator
from latewood.calculators.preparation.fields import Prefer, RouteResult, Standing
from latewood.calculators.preparation.inputs import Inputs
from latewood.calculators.preparation.route_estimate import RouteEstimate
from latewood.declare import RecordLookup
from latewood.formulas.workdays import DAY
from latewood.provenance import Ledger, Severity
from latewood.records import ConditionRule, Route
from latewood.records.moisture import MoistureLimits, WettingKind
from latewood.rules.new_wood import tested_after
from latewood.rules.route_work import RouteWork, route_work
from latewood.rules.sign_actions import soil_seen
from latewood.rules.wash_chemistry import by_hand, forbidden_on
from latewood.rules.wash_recipe import OnWood
from latewood.rules.weathering import Weathering
from latewood.rules.wording import words
from latewood.uncertainty import spread
from latewood.weather import Hours

#: The climate taken where none is given, and a damper one it is held against: the reference summer, and spring.
SUMMER: Final = Climate(293.15, 0.65)
SPRING: Final = Climate(288.15, 0.70)
_ORDER: Final[tuple[Standing, ...]] = (
    "recommended",
    "possible",
    "too-late",
    "never-dry",
    "unsuitable",
    "forbidden",
)


@dataclass(frozen=True)
class Compared:
    """What came of comparing: the best, the chosen, how long a wash waits, and all rows.

    ``dry`` is for the wash of the chosen route; where it washes nothing, for one of the first working day.
    """

    best: Case | None
    chosen: Case | None
    dry: Drying
    dryer: Dryer
    rows: tuple[RouteResult, ...]


def compare(
    x: Inputs, surface: Surface, hours: Hours | None, first: date | None, ledger: Ledger, known: RecordLookup
) -> Compared:
    """Return the routes side by side."""
    depth = _depth(x, surface, ledger, known)
    limit = _limit(x, ledger, known)
    rule, hand = forbidden_on(surface.hazards), by_hand(surface.hazards)
    on = on_wood(x, surface)
    works = [route_work(route, on, known, rule, by_hand=hand) for route in _routes(ledger, known)]
    climate = _climate(x, hours, depth, limit, ledger, known)
    _say_weathering(x, surface.weathering, climate, limit, ledger, known)
    dryer = Dryer(x, climate, first, depth, limit, ledger, known)
    if x.crew is None:
        ledger.default(
            "crew", "1 person", effect=0.5, why="two share the work and halve the time it takes, not the wait"
        )
    usual: ConditionRule = known.record("condition-rule", "usual")
    least = spread.value(usual.cover.number if x.fastener_cover is None else ledger.take(usual.cover))
    reckoner = Estimator(x, surface, dryer, least, ledger, known)
    cases = [_case(work, reckoner.reckon(work), x, surface) for work in works]
    prefer: Prefer = x.prefer or "soonest"
    best = recommended(cases, prefer)
    chosen = best if x.route is None else next((case for case in cases if case.route.id == x.route.id), None)
    rows = [_row(case, best, prefer, dryer) for case in cases]
    rows.sort(key=lambda row: (_ORDER.index(row.standing), row.ready_morning or 0, row.id))
    dry = None if chosen is None else chosen.reckoned.dry
    if dry is None:
        dry = dryer.after(tested_after(surface.beads) * DAY)
    _say_unknown(cases, chosen, dryer, ledger)
    return Compared(best, chosen, dry, dryer, tuple(rows))


def _say_unknown(cases: Sequence[Case], chosen: Case | None, dryer: Dryer, ledger: Ledger) -> None:
    """Say which washes fall on days the weather given does not reach."""
    held = [case for case in cases if case.standing != "forbidden" and case.reckoned.dry and case.reckoned.dry.unknown]
    if not held:
        return
    after = min(case.reckoned.washed_after or 0.0 for case in held)
    day = "" if dryer.first is None else f" on {dryer.first + timedelta(seconds=after):%a %d %b}"
    message = (
        f"{', '.join(case.route.title for case in held)}: the weather given does not reach the wash{day}. Drying is "
        "estimated at the mean of that weather. Ask again with the forecast of those days."
    )
    severity: Severity = "warning" if chosen in held else "note"
    ledger.find("wash-beyond-weather", severity, message, pointer="/weather", routes=[case.route.id for case in held])


def _routes(ledger: Ledger, known: RecordLookup) -> list[Route]:
    """Return the routes of the shelf that can be reckoned for an area; a pack may have brought another kind."""
    routes: list[Route] = list(known.records("route").values())
    rates = known.records("rate")
    by_area = [r for r in routes if all(rates[id].area_pace for step in r.steps for id in step.rate.values())]
    for route in routes:
        if route not in by_area:
            message = f"{route.title} has a rate that is not by area, so it was not compared."
            ledger.find("route-not-compared", "warning", message, route=route.id)
    return by_area


def on_wood(x: Inputs, surface: Surface) -> OnWood:
    """Return what is to be washed off, should a route wash."""
    return OnWood(soil_seen(x.signs, grey=surface.grey), x.old_coating, x.species)


def _depth(x: Inputs, surface: Surface, ledger: Ledger, known: RecordLookup) -> float:
    """Return how deep a wash goes in: by the state of the boards, both an assumption."""
    if x.wetted_depth is not None:
        return x.wetted_depth
    kind: WettingKind = known.record("wetting-kind", "washed")
    state, other = ("weathered", "sound") if surface.weathering.weathered else ("sound", "weathered")
    here, there = kind.depths[state], kind.depths[other]
    ledger.take(here)
    why = f"for {state} boards; an assumption, for {other} ones it is {there.given}"
    ledger.default("wetted_depth", here.given, effect=abs(1 - there.si / here.si), why=why)
    return here.si


def _say_weathering(
    x: Inputs, found: Weathering, climate: Climate, limit: float, ledger: Ledger, known: RecordLookup
) -> None:
    """Write into the basis how weathered the boards are; where nobody said it, by how much the wait turns on it."""
    effect = None
    if found.ground == "default" and x.wetted_depth is None:
        kind: WettingKind = known.record("wetting-kind", "washed")
        mean, aside = Climate(climate.temperature, climate.relative_humidity), Ledger("aside")
        deep, flat = (
            in_mean(x, mean, kind.depths[state].si, limit, aside, known)[1] for state in ("weathered", "sound")
        )
        effect = 1 - flat / deep if math.isfinite(deep) and deep > 0 else None
    found.say(ledger, effect)


def _limit(x: Inputs, ledger: Ledger, known: RecordLookup) -> float:
    if x.moisture_limit is not None:
        return x.moisture_limit
    rule: MoistureLimits = x.limit_rule or known.record("moisture-limits", "usual")
    limit = rule.limit_for(x.coating, None if x.species is None else x.species.absorbency)
    ledger.default("moisture_limit", limit.given, effect=None, why=f"{rule.title.lower()}; the product sheet overrules")
    return spread.value(ledger.take(limit))


def _climate(
    x: Inputs, hours: Hours | None, depth: float, limit: float, ledger: Ledger, known: RecordLookup
) -> Climate:
    if hours is not None:
        message = (
            "Drying is read from the hour in which a wash is done. The weather goes on after its end as its last day "
            "was. Boards were taken to be as warm as the air: in sun they dry sooner."
        )
        ledger.find("drying-by-weather", "note", message, pointer="/weather")
        return climate_of(hours, 0)
    temperature = SUMMER.temperature if x.temperature is None else x.temperature
    humidity = SUMMER.relative_humidity if x.relative_humidity is None else x.relative_humidity
    climate = Climate(temperature, humidity)
    missing = [n for n in ("temperature", "relative_humidity") if getattr(x, n) is None]
    if missing:
        here, damper = (in_mean(x, one, depth, limit, ledger, known)[1] for one in (climate, SPRING))
        ratio = damper / here if here else math.inf
        effect = min(abs(ratio - 1), 10.0) if math.isfinite(ratio) else 10.0
        given = {"temperature": "20 degC", "relative_humidity": "65 %"}
        for name in missing:
            why = "a temperate summer; the effect is that of 15 degC and 70 % on the wait after a wash"
            ledger.default(name, given[name], effect=effect, why=why)
    return climate


def _case(work: RouteWork, reckoned: RouteEstimate, x: Inputs, surface: Surface) -> Case:
    route = work.route
    day = None
    if math.isfinite(reckoned.courses[1].end):
        day = reckoned.courses[1].on(x.day_length or 8 * 3600.0)
    tests: Sequence[tuple[Standing, tuple[str, ...]]] = (
        (
            "forbidden",
            (*forbidden(route, x, surface, reckoned.prohibition_reason), *([work.lost] if work.lost else [])),
        ),
        ("unsuitable", (*unsuitable(route, x, surface), *_not_washed_off(work))),
        ("never-dry", () if day is not None else ("in this climate the wood never gets dry enough to coat",)),
        ("too-late", tuple(_late(day, x))),
    )
    standing: Standing = next((name for name, why in tests if why), "possible")
    against = tuple(reason for _, why in tests for reason in why)
    level, harms = damage(route, x, surface)
    return Case(route, reckoned, standing, against, level, harms, day)


def _not_washed_off(work: RouteWork) -> Iterator[str]:
    """Say what has to come off first, or is to be stripped, and no agent that may be used takes off."""
    if work.recipe.left and not work.route.last_resort:
        yield f"no agent that may be used here takes {words(work.recipe.left)} off"


def _late(day: int | None, x: Inputs) -> Iterator[str]:
    if day is None or x.start is None or x.ready_by is None:
        return
    ready = x.start + timedelta(days=day - 1)
    if ready > x.ready_by:
        yield f"coating could begin on {ready}, after {x.ready_by}"


def _row(case: Case, best: Case | None, prefer: Prefer, dryer: Dryer) -> RouteResult:
    reckoned, route, x = case.reckoned, case.route, dryer.x
    elapsed = reckoned.elapsed
    # The day of the answer is no day of work.
    begins = dryer.first if x.start is not None or x.weather is not None else None
    hire = None
    if x.hire_block is not None and route.sands:
        hire = math.ceil(spread.high(reckoned.sanding) / (x.crew or 1) / x.hire_block - 1e-9)
    return RouteResult(
        id=route.id,
        standing="recommended" if best is not None and route.id == best.route.id else case.standing,
        elapsed=elapsed,
        ready_morning=case.day,
        ready_on=None if begins is None or case.day is None else begins + timedelta(days=case.day - 1),
        work_time=reckoned.work_time,
        washed_after=reckoned.washed_after,
        washed_at=None if reckoned.washed_after is None else dryer.moment(reckoned.washed_after),
        drying_time=None if reckoned.dry is None else reckoned.dry.wait,
        removal=reckoned.removal,
        damage=case.damage,
        damage_reasons=case.harms,
        shadow_patches="remain" if "shadow-patches" in route.leaves else "cleared",
        leaves=tuple(route.leaves),
        disc_count=reckoned.discs,
        solution_volume=reckoned.solution,
        product_mass=reckoned.mass,
        rinse_volume=reckoned.rinse,
        hire_blocks=hire,
        reasons=reasons(case, best, prefer),
        steps=reckoned.steps,
    )
