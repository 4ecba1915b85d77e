"""What a job says that cautions are looked up by: hazards of age, treatment and old coating, zone by zone."""

from __future__ import annotations

from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from typing import Any

import msgspec
import numpy as np

from latewood.declare import RecordLookup
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import found_in
from latewood.plan.job import Job
from latewood.plan.kinds import COVERAGE, PREPARATION, SANDING
from latewood.plan.surface_rules import old_coating
from latewood.plan.work import Ran
from latewood.provenance import Ledger, Shown
from latewood.rules.work import drifts, proud_steel, state_sanding
from latewood.weather import Hours


def state(job: Job, zones: Iterable[EffectiveZone], known: RecordLookup, ledger: Ledger) -> None:
    """Write the facts of each zone into the ledger, and the years they turned on into its basis."""
    for merged in zones:
        found_in(job, merged, known, ledger).state(ledger, merged.id)
        for name, value in _facts(merged, known).items():
            ledger.fact(name, value, of=merged.id)


def state_work(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Write what the work that is planned meets on this deck: steel under the discs, wet boards, what drift reaches."""
    sanded = _machine_sanded(done)
    for merged in (one for one in done.zones if one.id in sanded):
        proud = proud_steel(merged.fields.signs or (), merged.fields.fastener_cover)
        wet = bool(merged.fields.surface_wet) or bool(job.wetting) or _rains(done.hours)
        state_sanding(ledger, proud=proud, wet=wet, of=merged.id)
    sprayed = drifts(job.choices.application, known) and bool(done.every(COVERAGE))
    if sprayed and {"pond", "neighbours"} & set(job.choices.near):
        ledger.fact("spray", "over-water" if "pond" in job.choices.near else "at-neighbours")


def _rains(hours: Hours | None) -> bool:
    """Say whether rain is recorded or expected anywhere in the weather of the job."""
    return hours is not None and hours.rain is not None and bool((np.nan_to_num(hours.rain) > 0).any())


def turns_on_year(job: Job, merged: EffectiveZone, known: RecordLookup) -> bool:
    """Say whether something is suspected in a part that a year could rule out."""
    found = found_in(job, merged, known)
    return "suspected" in (found.arsenical, found.lead)


def _facts(merged: EffectiveZone, known: RecordLookup) -> Mapping[str, Any]:
    fields = merged.fields
    facts: dict[str, Any] = {"material": fields.material or "wood"}
    old = old_coating(merged, known)
    if old is not None and old != "none":
        # Sanding it makes dust that heats itself as oily rags do.
        facts["binder"] = old.binder
    if fields.species is not None and facts["material"] == "wood":
        facts["sensitiser"] = fields.species.sensitiser
    return facts


def cautions_of(ran: Sequence[Ran], done: Done, known: RecordLookup) -> Iterator[list[Shown]]:
    """Yield what each step cautions of: a route speaks of sanders only for floors that one is planned on.

    A floor may be coated as it is though its route would sand it. Where no sequence was worked out the route stands.
    """
    records = known.records("caution")
    # Of a floor with no finish named the plan does not say that its route is not taken.
    unsaid = {merged.id for merged in done.zones if merged.fields.coating is None}
    floors = _machine_sanded(done) | unsaid
    settled = any(task.status != "blocked" for task, _ in done.tasks(SANDING))
    for one in ran:
        kept = list(one.cautions)
        if one.task.kind is PREPARATION and settled:
            kept = [
                msgspec.structs.replace(said, places=left) if left != said.places else said
                for said in kept
                for left in [_of_sanded(said, floors, records)]
                if left or not said.places
            ]
        yield kept


def _of_sanded(said: Shown, floors: Container[str], records: Mapping[str, Any]) -> tuple[str, ...]:
    """Return what a caution is about, without floors that no sander goes over where it is about sanders."""
    if said.id not in records or "powered_sanding" not in records[said.id].when:
        return said.places
    return tuple(zone for zone in said.places if zone in floors)


def _machine_sanded(done: Done) -> set[str]:
    """Return the floors that a powered sander goes over."""
    sequence = done.one(SANDING)
    return {
        row.zone
        for row in (sequence.rows if sequence else ())
        if row.status == "planned" and row.machine.powered and row.item is None
    }
