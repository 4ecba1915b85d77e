"""Faces a plan coats without having sanded them: weathered ones take more finish than the job may have counted on."""

from __future__ import annotations

from latewood.calculators.area.result import FaceArea
from latewood.declare import RecordLookup
from latewood.messages import Name
from latewood.plan import surfaces
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import CONDITION
from latewood.plan.surface_rules import weathering_of
from latewood.provenance import Ledger
from latewood.records.coating import Surface
from latewood.rules.faces import out_of_reach


def left_weathered(merged: EffectiveZone, face: FaceArea, job: Job, done: Done, known: RecordLookup) -> bool:
    """Say whether a face that counts as sanded is coated weathered, because it is not among those that are."""
    if done.one(CONDITION) is None or out_of_reach(face.part, face.side):
        return False
    if surfaces.of_face(merged, face) not in (None, "sanded"):
        return False
    return (face.zone, face.part, face.item) not in done.sanded and weathering_of(merged, job, known).weathered


def as_coated(merged: EffectiveZone, face: FaceArea, job: Job, done: Done, known: RecordLookup) -> Surface | None:
    """Return the surface of a face when it is coated: as the job states it, unless the plan leaves it weathered."""
    return "weathered" if left_weathered(merged, face, job, done, known) else surfaces.of_face(merged, face)


def find(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Say which parts are coated without sanding: they take more finish, and it does not last as long."""
    left: dict[str, EffectiveZone] = {}
    for merged, face in done.faces:
        if not merged.is_coated or merged.id in done.stops:
            continue
        if left_weathered(merged, face, job, done, known):
            left[merged.id] = merged
    for id, merged in left.items():
        at, params = merged.pointer_to("surface"), {"of": id}
        ledger.find("coated-unsanded", pointer=at, params=params, part=Name(id))
