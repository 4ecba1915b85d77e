"""Which route to take, and what speaks against the others."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from latewood.calculators.preparation.fields import Damage, Prefer, Standing
from latewood.calculators.preparation.route_estimate import RouteEstimate
from latewood.quantities import units
from latewood.records import Route
from latewood.uncertainty import spread

_HARM = {"low": 0, "medium": 1, "high": 2}


@dataclass(frozen=True)
class Case:
    """One route with all that is known of it, and where it stands before any is recommended."""

    route: Route
    reckoned: RouteEstimate
    standing: Standing
    against: tuple[str, ...]
    damage: Damage
    harms: tuple[str, ...]
    day: int | None

    def rank(self, prefer: Prefer) -> tuple[float, ...]:
        """Return what routes are compared by, the least first."""
        soon = (float(self.day or 0), self.reckoned.courses[1].end)
        work, wood = spread.central(self.reckoned.work_time), spread.central(self.reckoned.removal)
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


def reasons(case: Case, best: Case | None, prefer: Prefer) -> tuple[str, ...]:
    """Return why a route is recommended, or what speaks against it beside the one that is."""
    if best is None:
        return case.against
    if case.route.id == best.route.id:
        return tuple(_for(best, prefer))
    return (*case.against, *_beside(case, best)) or ("much alike here: take the one the crew does better",)


def _only_for_being_last(case: Case) -> bool:
    return case.standing == "unsuitable" and len(case.against) == 1


def _for(best: Case, prefer: Prefer) -> Iterator[str]:
    yield {
        "soonest": "ready soonest of the routes that may be taken",
        "least-work": "the least work of the routes that may be taken",
        "least-wood": "takes off the least wood of the routes that may be taken",
    }[prefer]
    if best.route.last_resort:
        yield "the only one left: every other is ruled out here"
    if not best.route.wets:
        yield "wets nothing, so nothing has to dry"
    if not best.route.leaves:
        yield "leaves neither grey nor film"


def _beside(case: Case, best: Case) -> Iterator[str]:
    if case.day is not None and best.day is not None and case.day > best.day:
        later = case.day - best.day
        yield f"ready {later} {'day' if later == 1 else 'days'} later"
    more = spread.central(case.reckoned.work_time) - spread.central(best.reckoned.work_time)
    if abs(more) > 0.05 * spread.central(best.reckoned.work_time):
        hours = abs(units.show(more, "h", "time"))
        yield (
            f"{hours:.2g} h {'more' if more > 0 else 'less'} work"
            if hours < 99.5
            else f"{hours:.0f} h {'more' if more > 0 else 'less'} work"
        )
    if case.route.wets and not best.route.wets:
        yield "has to dry first, and is sanded all the same" if case.route.sands else "has to dry first"
    deeper = spread.central(case.reckoned.removal) - spread.central(best.reckoned.removal)
    if deeper > 20e-6:
        yield f"takes off {units.show(deeper, 'mm', 'length'):.2g} mm more wood"
    if _HARM[case.damage] > _HARM[best.damage]:
        yield f"{case.damage} risk of damage"
    if case.route.leaves:
        yield f"leaves {', '.join(what.replace('-', ' ') for what in case.route.leaves)}"
