"""Whether something keeps a legal limit: yes, no, or unknown with the rule to look up.

A limit that is kept says little where a state, district or member may set a lower one. Yes needs every rule that may
be stricter among the records, and a limit that was read.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Annotated, Final, Literal

from latewood.declare import F
from latewood.messages import Clause, Titled, clause
from latewood.provenance import Evidence
from latewood.records import Coating, VocLimits
from latewood.records.base import covers
from latewood.records.voc_limits import Carrier, Divides, Gloss

Within = Literal["yes", "no", "unknown"]
LookUp = Annotated[
    tuple[Clause, ...], F("What to look up or to give before the verdict is sure; empty where it is yes or no")
]

#: A content that equals the limit up to rounding keeps it.
_ROUNDING: Final = 1e-9


def keeps(content: float, limit: float) -> bool:
    """Say whether a content is at or under a limit."""
    return content <= limit * (1 + _ROUNDING)


def was_read(evidence: Evidence) -> bool:
    """Say whether a limit stands on a text and not on memory or judgement."""
    return evidence in ("published", "derived")


def verdict(*, broken: bool, wanting: Iterable[Clause]) -> tuple[Within, tuple[Clause, ...]]:
    """Return whether a limit is kept and what to look up or to give: one that is broken stays so whatever is wanting.

    It is unknown exactly where something is wanting, so that an unknown always says what would settle it.
    """
    wanted: list[Clause] = []
    for one in wanting:
        if one not in wanted:
            wanted.append(one)
    if broken:
        return "no", ()
    return ("unknown", tuple(wanted)) if wanted else ("yes", ())


def carrier_of(coating: Coating, stated: Carrier | None) -> Carrier | None:
    """Return what carries a product: as stated, else as every product of its family has it; None where both may be."""
    if stated is not None:
        return stated
    family = coating.carrier
    return family if family in ("water", "solvent") else None


def rows_of(
    rule: VocLimits, coating: Coating, stated: Carrier | None, gloss: Gloss | None
) -> tuple[tuple[str, Carrier | None], ...]:
    """Return the categories of a rule that a coating falls under, each with its carrier: see `VocLimits.rows`."""
    return rule.rows(coating.voc_category.get(rule.categories_of, ""), carrier_of(coating, stated), gloss)


def divided_by(rule: VocLimits, coating: Coating) -> Divides | None:
    """Return what of the product decides between the limits a rule has for a coating."""
    return rule.divides(coating.voc_category.get(rule.categories_of, ""))


def most_local_first(rules: Iterable[VocLimits]) -> list[VocLimits]:
    """Order rules from the smallest place to the largest: asked-for districts, states, countries."""

    def size(rule: VocLimits) -> tuple[bool, int]:
        return rule.automatic, -max(len(code) for code in rule.jurisdictions)

    return sorted(rules, key=size)


def concerns(rule: VocLimits, jurisdiction: str) -> bool:
    """Say whether a rule is law in a place, or in a part of it."""
    return rule.covers(jurisdiction) or covers((jurisdiction,), rule.jurisdictions[0])


def missing(rules: Sequence[VocLimits], jurisdiction: str | None) -> tuple[Clause, ...]:
    """Return the rules to look up that may be stricter than all of these, which are ordered from the smallest place.

    The rule of the smallest place answers for those above it. Where it says that a part may be stricter, or says
    nothing, something is missing.
    """
    if not rules:
        return ()
    stricter = rules[0].stricter
    if stricter is None:
        return (clause("stricter-than", rule=Titled(rules[0])),)
    if stricter.parts == "may-not":
        return ()
    named = [
        rules[0].recorded(rule.title, "stricter", "rules", str(n), "title")
        for n, rule in enumerate(stricter.rules)
        if jurisdiction is not None and covers(rule.jurisdictions, jurisdiction)
    ]
    return tuple(named) or (rules[0].recorded(stricter.look_up, "stricter", "look_up"),)
