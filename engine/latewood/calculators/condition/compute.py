"""What is beyond doubt, what may be in the wood and its coat, and how much wood is left.

Structure first: what carries people, or keeps them from falling, is beyond doubt or nothing is planned on it.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from latewood.calculators.condition.inputs import ComponentPart, ConditionComponent
from latewood.formulas import remaining
from latewood.messages import Clause, Name, Word, clause
from latewood.provenance import Ledger
from latewood.records import ConditionRule
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found, hazards_of
from latewood.rules.lead import coat_of
from latewood.rules.preservatives import uses_of, wood_of
from latewood.rules.sign_actions import ROTTEN, Measured, extent_unknown, mostly_damaged
from latewood.rules.signs import WEAKNESS
from latewood.uncertainty.spread import Number

#: Parts that carry the floor of their zone, and the guards fixed to it.
CARRYING: Final[frozenset[ComponentPart]] = frozenset({"frame", "ledger", "joists", "beams", "posts"})
#: Parts that must hold by themselves.
HOLDING: Final[frozenset[ComponentPart]] = frozenset({"guard", "stair", "stringers"})
#: What stands on the parts that carry, and on the stringers.
CARRIED: Final[frozenset[ComponentPart]] = frozenset({"boards", "guard", "bench"})
#: What is fixed to the parts that carry, and is worked on under them. Common practice, no source.
FIXED: Final[frozenset[ComponentPart]] = frozenset({"fascia", "skirting", "lattice"})
#: What people work on from the floor of its zone. Common practice, no source.
_WORKED_ON_FROM_FLOOR: Final[frozenset[ComponentPart]] = frozenset({"guard", "stair", "bench", "post"})
#: Parts people sit on or lean on: a rotten slat of a bench is only a slat.
_LEANT_ON: Final[frozenset[ComponentPart]] = frozenset({"post", "bench"})
_RUST = frozenset({"rusty-fasteners", "loose-fasteners"})


def doubts(components: Sequence[ConditionComponent]) -> Mapping[str, Clause]:
    """Return the components nothing may be planned for, by id, each with the reason."""
    found: dict[str, Clause] = {}
    for one in components:
        if (reason := _own(one)) is not None:
            found[one.id] = reason
    for one in components:
        for below in _below(one, components):
            if below.id in found and one.id not in found:
                found[one.id] = clause(
                    "fixed-to-doubt" if one.part in FIXED else "stands-on-doubt", below=Name(below.id)
                )
    return found


def out_of_reach(
    components: Sequence[ConditionComponent], stopped: Mapping[str, Clause], rule: ConditionRule, ledger: Ledger
) -> Mapping[str, Clause]:
    """Return sound parts that people work on from a floor they are kept off, by id, each with the reason."""
    floors = [one for one in components if one.part == "boards"]
    shut = {one.id for one in floors if one.id in stopped or _rotten(one, rule, ledger)}
    by_zone = defaultdict(list)
    for floor in floors:
        by_zone[floor.zone].append(floor)
    found: dict[str, Clause] = {}
    before = -1
    # A floor within a floor within a floor: each shuts the next one in, until none is left to shut.
    while len(found) > before:
        before = len(found)
        for one in components:
            if one.id in stopped or one.id in found:
                continue
            below = next((floor for floor in _reached_over(one, floors, by_zone) if floor.id in shut), None)
            if below is not None:
                found[one.id] = clause("reached-over-shut", floor=Name(below.id))
                if one.part == "boards":
                    shut.add(one.id)
    return found


def _reached_over(
    one: ConditionComponent,
    floors: Sequence[ConditionComponent],
    by_zone: Mapping[str | None, Sequence[ConditionComponent]],
) -> Iterator[ConditionComponent]:
    """Yield the floors people stand on to work on a part, or cross to the floor that lies within them."""
    if one.part == "boards":
        yield from by_zone.get(one.reached_over, ()) if one.reached_over is not None else ()
    elif one.part in _WORKED_ON_FROM_FLOOR:
        yield from floors if one.zone is None else (*by_zone.get(one.zone, ()), *by_zone.get(None, ()))


def _rotten(floor: ConditionComponent, rule: ConditionRule, ledger: Ledger) -> bool:
    """Say whether boards are known to be rotten for the most part, so that people keep off them."""
    rotten = ROTTEN & {*floor.signs}
    return bool(rotten) and mostly_damaged(Measured(affected=floor.affected), rule, ledger) is not None


def not_looked(components: Sequence[ConditionComponent]) -> Iterator[ConditionComponent]:
    """Yield the parts that carry or hold, and floors that nothing is said to carry, that were not looked at."""
    for one in components:
        alone = one.part == "boards" and not list(_below(one, components))
        if (one.part in CARRYING | HOLDING or alone) and one.structure in (None, "not-looked"):
            yield one


def _below(one: ConditionComponent, components: Sequence[ConditionComponent]) -> Iterator[ConditionComponent]:
    carry = CARRYING if one.part in CARRIED | FIXED else {"stringers"} if one.part == "stair" else frozenset()
    for other in components:
        if other.part in carry and _together(one, other):
            yield other


def _together(one: ConditionComponent, other: ConditionComponent) -> bool:
    """Say whether two parts belong to one zone; so may a part without a zone."""
    return other.zone is None or one.zone is None or other.zone == one.zone


def _own(one: ConditionComponent) -> Clause | None:
    """Return why a component is itself in doubt. Of boards, sagging speaks of what is under them."""
    if one.structure in ("doubt", "failed"):
        return clause("found-failed" if one.structure == "failed" else "looker-not-sure")
    seen: set[str] = set(one.signs)
    if one.part in CARRYING and "water-under" in seen and one.structure != "sound":
        # Water behind a ledger rots it out of sight.
        return clause("wet-and-not-looked")
    if one.part == "boards" and (why := extent_unknown(one.signs, Measured(affected=one.affected))):
        return why
    if one.part == "boards":
        weak = seen & {"sagging"}
    elif one.part in CARRYING | HOLDING:
        weak = seen & (WEAKNESS | _RUST)
    elif one.part in _LEANT_ON:
        weak = seen & (WEAKNESS if one.part == "post" else {"sagging", "loose-fixing", "wobbly"})
    else:
        weak = set()
    loose = [Word("sign", sign) for sign in one.signs if sign in weak - {"missing"}]
    said = [clause("piece-missing")] if "missing" in weak else []
    said += [clause("seen-on-it", signs=loose)] if loose else []
    return clause("weakness", seen=said) if said else None


def open_edges(components: Sequence[ConditionComponent], stopped: Mapping[str, Clause]) -> frozenset[str]:
    """Return parts beside an edge people may fall from: guards in doubt, floors they guard, floors with holes."""
    found = {one.id for one in components if one.part == "boards" and "missing" in one.signs}
    for guard in (one for one in components if one.part == "guard" and one.id in stopped):
        found.add(guard.id)
        found |= {one.id for one in components if one.part == "boards" and _together(one, guard)}
    return frozenset(found)


def hazards(one: ConditionComponent, years: Years) -> Found:
    """Return what may be in a component. Silence is no proof of absence."""
    uses = uses_of(one.part, carriers=one.carriers)
    if one.material == "composite":
        # It holds no preservative, and whether its coat holds lead follows from a test only.
        return Found(wood_of(one, uses), coat_of(one), "no", "yes" if one.lead_test == "found" else "no", years.region)
    if one.part == "wall":
        # Walls are not sanded, but edge tools touch them: only their paint bears on the work.
        silent = one.old_coating is None and one.lead_test in (None, "not-tested")
        lead = years.lead() if silent else coat_of(one).lead(years)
        return Found(wood_of(one, uses), coat_of(one), "no", lead, years.region)
    return hazards_of(one, years, uses)


def cover_left(one: ConditionComponent, ledger: Ledger) -> Number | None:
    """Return the wood above the fasteners after the planned removal."""
    if one.fastener_cover is None or one.removal is None:
        return None
    return ledger.step(remaining.cover_left, one.id, fastener_cover=one.fastener_cover, removal=one.removal)


def thickness_left(one: ConditionComponent, ledger: Ledger) -> Number | None:
    """Return the board left where it is thinnest."""
    if one.thickness is None:
        return None
    given = {"removal": 0.0 if one.removal is None else one.removal, "furrow_depth": one.furrow_depth or 0.0}
    return ledger.step(remaining.thickness_left, one.id, thickness=one.thickness, **given)
