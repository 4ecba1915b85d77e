"""Which rule and which years hold, and which old coatings a film that is seen stands for."""

from __future__ import annotations

from dataclasses import dataclass

import msgspec

from latewood.calculators.condition.inputs import ConditionComponent, Inputs
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.records import ConditionRule
from latewood.records.places import region_of
from latewood.rules.hazards import Years, coating_seen, note_film_unnamed
from latewood.rules.wording import place


@dataclass(frozen=True)
class Resolved:
    """The components, the rule they are judged by, and the years that rule hazards out of each."""

    components: tuple[ConditionComponent, ...]
    rule: ConditionRule
    years: tuple[Years, ...]
    jurisdiction: str | None


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return what the components are judged by."""
    components = tuple(_with_film(index, one, known, ledger) for index, one in enumerate(x.components))
    rule: ConditionRule = x.condition_rule or known.record("condition-rule", "usual")
    if x.condition_rule is None:
        ledger.default("condition_rule", rule.id, effect=None, why=clause("thresholds-differ"))
    region = region_of(known, x.jurisdiction)
    years = tuple(Years(one.year_built or x.year_built, region, ledger, x.as_of) for one in components)
    return Resolved(components, rule, years, x.jurisdiction)


def _with_film(index: int, one: ConditionComponent, known: RecordLookup, ledger: Ledger) -> ConditionComponent:
    """Return a component with an unknown coating where a film is seen that no named coating makes."""
    old = coating_seen(one.old_coating, one.signs, known)
    if old is one.old_coating or one.material == "composite":
        return one
    note_film_unnamed(one.old_coating, f"/components/{index}/old_coating", ledger, of=place(one.id))
    return msgspec.structs.replace(one, old_coating=old)


def varies(one: ConditionComponent, ledger: Ledger) -> bool:
    """Say whether boards of this wood differ so much by nature that new ones hide among the old."""
    if one.colour_variation is None:
        ledger.default("colour_variation", "low", effect=None, why=clause("boards-much-alike"))
    return one.colour_variation == "high"
