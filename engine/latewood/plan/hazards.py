"""What may be in each part of a job, and what that forbids: one answer for every step of the plan."""

from __future__ import annotations

from collections.abc import Container, Iterable

import msgspec

from latewood.declare import RecordLookup
from latewood.messages import Clause
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Extra, Guard, Job, Stair
from latewood.plan.surface_rules import old_coating
from latewood.provenance import Ledger, Severity
from latewood.rules.hazards import years_of
from latewood.rules.hazards_found import Found, hazards_of
from latewood.rules.preservatives import uses_of
from latewood.rules.wording import place


def found_in(job: Job, merged: EffectiveZone, known: RecordLookup, ledger: Ledger | None = None) -> Found:
    """Return the hazards of a zone's boards, or of a component."""
    years = years_of(job.site, known, ledger or Ledger.scratch())
    fields = msgspec.structs.replace(merged.fields, old_coating=old_coating(merged, known))
    return hazards_of(fields, years, uses_of(part_of(merged.own), carriers=carriers_of(merged.own)))


def not_sanded(job: Job, merged: EffectiveZone, known: RecordLookup) -> tuple[Clause, ...]:
    """Return every reason why no machine may sand a part."""
    return found_in(job, merged, known).not_sanded(job.choices.extraction)


def unsandable(job: Job, components: Iterable[EffectiveZone], known: RecordLookup) -> frozenset[str]:
    """Return the ids of stairs, guards and extras no machine may sand.

    A floor is judged with its route; these have none of their own.
    """
    return frozenset(one.id for one in components if one.own is not None and not_sanded(job, one, known))


def find_unsandable(
    job: Job, components: Iterable[EffectiveZone], sanded: Container[str], known: RecordLookup, ledger: Ledger
) -> None:
    """Say which parts no machine may sand, and for which hazard.

    In a zone that is ``sanded``, or stopped itself, they were to be sanded with its floor, and that is a stop. Where no
    machine comes anyway, as where all of a deck is washed by hand, it is a danger to know of.
    """
    for merged in components:
        # What is coated as it is, by the job, no machine comes to.
        if merged.own is None or not merged.is_coated or merged.fields.surface not in (None, "sanded"):
            continue
        severity: Severity = "stop" if merged.zone.id in sanded else "danger"
        found_in(job, merged, known).note_not_sanded(
            job.choices.extraction, ledger, merged.pointer, place(merged.id), severity, of=merged.id
        )


def carriers_of(own: Stair | Guard | Extra | None) -> bool | None:
    """Say whether a guard has posts, and a stair stringers, that are counted; None where that is not said."""
    counted = own.posts if isinstance(own, Guard) else own.stringers if isinstance(own, Stair) else None
    return None if counted is None else counted > 0


def part_of(own: Stair | Guard | Extra | None) -> str:
    """Return which part of a deck something is."""
    if own is None:
        return "boards"
    return own.part if isinstance(own, Extra) else "stair" if isinstance(own, Stair) else "guard"
