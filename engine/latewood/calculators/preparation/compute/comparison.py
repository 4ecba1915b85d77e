"""The routes side by side: which may be taken, which is best, and what speaks against the others."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Final

from latewood.calculators.preparation.compute.drying import Dryer, Drying
from latewood.calculators.preparation.compute.eligibility import damage, forbidden, unsuitable
from latewood.calculators.preparation.compute.estimate import RouteEstimate
from latewood.calculators.preparation.fields import Damage, Prefer, RouteResult, Standing
from latewood.calculators.preparation.resolved import Resolved
from latewood.formulas.workdays import DAY
from latewood.messages import Clause, Count, Length, Moment, Time, Word, clause
from latewood.records import Route
from latewood.records.wash import Soil
from latewood.rules.new_wood import tested_after
from latewood.rules.route_work import RouteWork
from latewood.rules.wash_recipe import soil_words
from latewood.uncertainty import spread

_HARM: Final = {"low": 0, "medium": 1, "high": 2}
_ORDER: Final[tuple[Standing, ...]] = (
    "recommended",
    "possible",
    "too-late",
    "never-dry",
    "unsuitable",
    "forbidden",
)


@dataclass(frozen=True)
class Case:
    """One route with all that is known of it, and where it stands before any is recommended."""

    route: Route
    estimate: RouteEstimate
    standing: Standing
    against: tuple[Clause, ...]
    damage: Damage
    harms: tuple[Clause, ...]
    day: int | None
    #: What its wash does not take off.
    left: tuple[Soil, ...]

    def rank(self, prefer: Prefer) -> tuple[float, ...]:
        """Return what routes are compared by, the least first."""
        soon = (float(self.day or 0), self.estimate.courses[1].end)
        work, wood = spread.central(self.estimate.work_time), spread.central(self.estimate.sanding.removal)
        harm = float(_HARM[self.damage])
        order = {
            "soonest": (*soon, harm, work),
            "least-work": (work, *soon, harm),
            "least-wood": (wood, harm, *soon, work),
        }
        return order[prefer]


def recommended(cases: Sequence[Case], prefer: Prefer) -> Case | None:
    """Return the best of the possible routes; a last resort where it alone is left, None where nothing is."""
    possible = [case for case in cases if case.standing == "possible"]
    if not possible:
        possible = [case for case in cases if case.route.last_resort and _only_for_being_last(case)]
    return min(possible, key=lambda case: case.rank(prefer), default=None)


def reasons(case: Case, best: Case | None, prefer: Prefer) -> tuple[Clause, ...]:
    """Return why a route is recommended, or what speaks against it beside the one that is."""
    if best is None:
        return case.against
    if case.route.id == best.route.id:
        return tuple(_for(best, prefer))
    return (*case.against, *_beside(case, best)) or (clause("much-alike"),)


def _only_for_being_last(case: Case) -> bool:
    return case.standing == "unsuitable" and len(case.against) == 1


def _for(best: Case, prefer: Prefer) -> Iterator[Clause]:
    yield clause("ready-soonest" if prefer == "soonest" else prefer)
    if best.route.last_resort:
        yield clause("only-one-left")
    if not best.route.wets:
        yield clause("wets-nothing")
    if not best.route.leaves:
        yield clause("leaves-neither")


def _beside(case: Case, best: Case) -> Iterator[Clause]:
    if case.day is not None and best.day is not None and case.day > best.day:
        yield clause("ready-later", days=Count(case.day - best.day))
    more = spread.central(case.estimate.work_time) - spread.central(best.estimate.work_time)
    if abs(more) > 0.05 * spread.central(best.estimate.work_time):
        yield clause("more-work" if more > 0 else "less-work", hours=Time(abs(more)))
    if case.route.wets and not best.route.wets:
        yield clause("dries-then-sanded" if case.route.sands else "dries-first")
    deeper = spread.central(case.estimate.sanding.removal) - spread.central(best.estimate.sanding.removal)
    if deeper > 20e-6:
        yield clause("takes-more-wood", depth=Length(deeper))
    if _HARM[case.damage] > _HARM[best.damage]:
        yield clause("risk-of-damage", level=Word("damage", case.damage))
    if case.route.leaves:
        yield clause("leaves", what=[Word("leaves", one) for one in case.route.leaves])


@dataclass(frozen=True)
class Compared:
    """What came of comparing: the best, the chosen, how long a wash waits, and all rows.

    ``dry`` is for the wash of the chosen route; where it washes nothing, for one of the first working day.
    """

    best: Case | None
    chosen: Case | None
    cases: tuple[Case, ...]
    dry: Drying
    dryer: Dryer
    rows: tuple[RouteResult, ...]


def compare(r: Resolved, cases: Sequence[Case], dryer: Dryer) -> Compared:
    """Return the routes side by side."""
    best, chosen = best_and_chosen(r, cases)
    rows = [_row(case, best, r, dryer) for case in cases]
    rows.sort(key=lambda row: (_ORDER.index(row.standing), row.ready_morning or 0, row.id))
    dry = None if chosen is None else chosen.estimate.dry
    if dry is None:
        dry = dryer.after(tested_after(r.surface.beads) * DAY)
    return Compared(best, chosen, tuple(cases), dry, dryer, tuple(rows))


def best_and_chosen(r: Resolved, cases: Sequence[Case]) -> tuple[Case | None, Case | None]:
    """Return the route to recommend, and the one to go by."""
    best = recommended(cases, r.prefer)
    return best, best if r.route is None else next((case for case in cases if case.route.id == r.route.id), None)


def assessed(r: Resolved, work: RouteWork, estimate: RouteEstimate) -> Case:
    """Return where a route stands before any is recommended, with all that speaks against it."""
    route, day = work.route, None
    if math.isfinite(estimate.courses[1].end):
        day = estimate.courses[1].on(r.day_length)
    tests: Sequence[tuple[Standing, tuple[Clause, ...]]] = (
        ("forbidden", _forbidden(work, r, estimate.prohibition_reason)),
        ("unsuitable", _unsuitable(work, r)),
        ("never-dry", () if day is not None else (clause("never-dry-enough"),)),
        ("too-late", tuple(_late(day, r))),
    )
    standing: Standing = next((name for name, why in tests if why), "possible")
    against = tuple(reason for _, why in tests for reason in why)
    level, harms = damage(route, r)
    return Case(route, estimate, standing, against, level, harms, day, work.recipe.left)


def ruled_out(work: RouteWork, r: Resolved) -> bool:
    """Say whether a route is never gone by here, whatever it comes to."""
    if r.route is not None:
        return work.route.id != r.route.id
    return not work.route.last_resort and bool(_forbidden(work, r, None) or _unsuitable(work, r))


def _forbidden(work: RouteWork, r: Resolved, heads: Clause | None) -> tuple[Clause, ...]:
    return (*forbidden(work.route, r, heads), *(() if work.lost is None else (work.lost,)))


def _unsuitable(work: RouteWork, r: Resolved) -> tuple[Clause, ...]:
    return (*unsuitable(work.route, r), *_not_washed_off(work))


def _not_washed_off(work: RouteWork) -> Iterator[Clause]:
    """Say what has to come off first, or is to be stripped, and no agent that may be used takes off."""
    if work.recipe.left and not work.route.last_resort:
        yield clause("no-agent-takes-off", soil=soil_words(work.recipe.left))


def _late(day: int | None, r: Resolved) -> Iterator[Clause]:
    if day is None or r.first is None or r.ready_by is None:
        return
    ready = r.first + timedelta(days=day - 1)
    if ready > r.ready_by:
        yield clause("too-late", ready=Moment(ready), by=Moment(r.ready_by))


def _row(case: Case, best: Case | None, r: Resolved, dryer: Dryer) -> RouteResult:
    estimate, route, hire = case.estimate, case.route, None
    floor = estimate.sanding.floor
    if r.hire_block is not None and route.sands:
        hire = math.ceil(spread.high(estimate.sanding.time("sand")) / r.crew / r.hire_block - 1e-9)
    return RouteResult(
        id=route.id,
        standing="recommended" if best is not None and route.id == best.route.id else case.standing,
        elapsed=estimate.elapsed,
        ready_morning=case.day,
        ready_on=None if r.begins is None or case.day is None else r.begins + timedelta(days=case.day - 1),
        work_time=estimate.work_time,
        washed_after=estimate.washed_after,
        washed_at=None if estimate.washed_after is None else dryer.moment(estimate.washed_after),
        drying_time=None if estimate.dry is None else estimate.dry.wait,
        removal=estimate.sanding.removal,
        damage=case.damage,
        damage_reasons=case.harms,
        shadow_patches="remain" if "shadow-patches" in route.leaves else "cleared",
        leaves=tuple(route.leaves),
        sanding_time=None if floor is None else floor.sanding_time,
        vacuum_time=None if floor is None else floor.vacuum_time,
        dust_mass=None if floor is None else floor.dust_mass,
        typical_count=0 if floor is None else floor.typical_count,
        disc_count=estimate.sanding.discs,
        solution_volume=estimate.solution,
        product_mass=estimate.mass,
        rinse_volume=estimate.rinse,
        hire_blocks=hire,
        reasons=reasons(case, best, r.prefer),
        steps=estimate.steps,
    )
