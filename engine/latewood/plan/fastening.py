"""Fasteners, seen to before a floor is sanded."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from latewood.calculators import fasteners
from latewood.calculators.fasteners.inputs import FastenerZone
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.plan.done import Done
from latewood.plan.job import Job
from latewood.plan.kinds import FASTENERS, ORDER, SANDING, WASH, Kind
from latewood.plan.sanding import is_requested
from latewood.plan.task import Status, Task, by_id, filled, left_out
from latewood.rules.heads import Fastening, replaced_for


def order(done: Done) -> tuple[Kind[Any], ...]:
    """Return the kinds of step in the order of work: steel that stains is replaced before water reaches it."""
    if not any(replaced_for(done.job.fastening or Fastening(), m.fields.signs or ()) for m in done.zones):
        return ORDER
    early = [kind for kind in ORDER if kind is not FASTENERS]
    place = early.index(WASH)
    return (*early[:place], FASTENERS, *early[place:])


def fastener_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Look at every head and set the proud ones, before a disc meets them."""
    if not is_requested(job, done):
        return
    floors = {merged.id: merged for merged in done.zones}
    sequence = done.one(SANDING)
    sanded = {zone for zone, part, _ in done.sanded if part in ("field", "perimeter")}
    held = tuple(merged.id for merged in done.zones if merged.is_coated)
    left = done.stops.why(held)
    if sequence is None or not sanded:
        why = left_out((clause("no-floor-sanded"),), left)
        yield Task(FASTENERS, status=done.stops.status(held), why=why, parts=by_id(done.zones), held=held)
        return
    counted = tuple(
        filled(FastenerZone, floors[row.id].fields, row, signs=floors[row.id].fields.signs or ())
        for row in done.area.zones
        if row.id in sanded and row.fasteners is not None
    )
    unlock = tuple(
        floors[row.id].pointer_to("boards/joist_spacing")
        for row in done.area.zones
        if row.id in sanded and row.fasteners is None
    )
    if not counted:
        why = (clause("fasteners-not-known"),)
        parts = {zone: zone for zone in sanded}
        yield Task(FASTENERS, status="blocked", why=why, unlock=unlock, held=held, parts=parts)
        return
    covers = [floors[zone].fields.fastener_cover for zone in sorted(sanded)]
    inputs = filled(
        fasteners.Inputs,
        job.fastening,
        zones=counted,
        removal=sequence.removal,
        fastener_cover=min((cover for cover in covers if cover is not None and cover >= 0), default=None),
        machine=next((part.machine for part in job.machines if part.part == "field"), None),
    )
    why = left_out((clause("why-fasteners"),), left)
    status: Status = "partial" if unlock or left else "done"
    stands = (("/machine", "/machines"), ("", "/fastening"))
    parts = {row.id: row.id for row in counted}
    yield Task(FASTENERS, "", inputs, status, why, unlock, stands, held=held, parts=parts)
