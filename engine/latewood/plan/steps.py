"""The steps of a plan: each maps the job and earlier results to one calculator's inputs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final

from latewood.calculators import area, coverage
from latewood.calculators.area.zones import AreaZone, FaceArea
from latewood.calculators.coverage.fields import Face
from latewood.declare import RecordLookup
from latewood.plan import (
    cadence,
    earliest,
    hazards,
    moisture,
    old_finish,
    old_surface,
    sanding,
    surfaces,
    unsanded,
    windows,
)
from latewood.plan.effective_zones import EffectiveZone, by_face, effective_components
from latewood.plan.job import Job
from latewood.plan.old_finish import OldFinish
from latewood.plan.stopped import Done
from latewood.plan.task import Step, Task, by_id, left_out
from latewood.provenance import Ledger
from latewood.records import Coating
from latewood.rules.hazard_fields import Old


def take_off(job: Job, zones: list[EffectiveZone]) -> area.Inputs:
    """Return what a job says of shapes, as the take-off asks for it."""
    shapes = tuple(
        AreaZone(
            id=z.id,
            part_of=z.part_of,
            outline=z.outline,
            length=z.length,
            width=z.width,
            holes=z.holes,
            area=z.area,
            level=z.level,
            species=merged.fields.species,
            boards=z.boards,
            edges=z.edges,
        )
        for z, merged in zip(job.zones, zones, strict=True)
    )
    return area.Inputs(
        zones=shapes,
        boards=job.defaults.boards,
        stairs=job.stairs,
        guards=job.guards,
        extras=job.extras,
        stated_area=job.stated_area,
        pad_width=job.pad_width,
        labour_allowance=job.labour_allowance,
    )


#: Where inputs of the take-off stand in a job, if not at the same place.
POINTER_MAP = (("/boards", "/defaults/boards"),)


def _area(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    yield Task("area", "area", take_off(job, zones), stands=POINTER_MAP, in_job=True)


def _shut(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Stop what is behind a gate that nothing is planned behind."""
    if "condition" in done:
        done.stops.shut(done["condition"].components)


def _unprepared(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Find what the work that is planned leaves unfit for its finish: a film is left, or no machine may sand it."""
    components = effective_components(job, zones).values()
    old_finish.say_left(job, zones, done, known, ledger)
    if sanding.is_requested(job, done):
        sanded = {zone for zone, _, item in sanding.sanded_faces(done) if item is None}
        hazards.say_unsandable(job, components, sanded, known, ledger)
    done.stops.heed(ledger.findings, by_id([*zones, *components]))
    unsanded.say(job, zones, done, known, ledger)


def _coverage(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """One purchase for each coating and number of coats: a can is not shared between coatings."""
    old = OldFinish(job, zones, done, known)
    groups: dict[tuple[str, int | None], Group] = {}
    for merged, face in by_face(job, zones, done["area"].faces):
        under = old.under(merged, face)
        if under is not None:
            group = groups.setdefault((under.new.id, merged.fields.coats), Group(under.new, merged.fields.coats))
            if merged.id in done.stops:
                group.stopped[merged.id] = merged
            elif not under.refused:
                group.members.append((merged, face, under.old))
    if why := sanding.spray_stopped(done):
        every = [*zones, *effective_components(job, zones).values()]
        yield Task("coverage", "coverage", status="blocked", why=why, parts=by_id(every))
        return
    if not any(group.members for group in groups.values()):
        held = {id: merged for group in groups.values() for id, merged in group.stopped.items()}
        why = left_out("" if held else "no zone of wood names a coating", done.stops.why(held))
        yield Task("coverage", "coverage", status="skipped", why=why, parts=by_id(held.values()))
        return
    for (coating_id, coats), group in groups.items():
        several = sum(1 for other, _ in groups if other == coating_id) > 1
        name = f"coverage-{coating_id}" + (f"-{coats}" if several and coats is not None else "")
        yield _purchase(name, group, job, zones, done, known)


@dataclass
class Group:
    """The faces that take one coating in one number of coats, with what is left on each, and parts that are stopped."""

    coating: Coating
    coats: int | None
    members: list[tuple[EffectiveZone, FaceArea, Old | None]] = field(default_factory=list)
    stopped: dict[str, EffectiveZone] = field(default_factory=dict)


def _purchase(name: str, group: Group, job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Task:
    """Return the purchase of a coating; of wood that nothing is put on the species need not be known."""
    bare, left = group.coating.bare, done.stops.why(group.stopped)
    known_wood = [(m, f, old) for m, f, old in group.members if bare or m.fields.species is not None]
    lacking = [m for m, _, _ in group.members if m.fields.species is None and not bare]
    missing = tuple(dict.fromkeys(m.pointer_to("species") for m in lacking))
    if not group.members:
        return Task(name, "coverage", status="skipped", why=left, parts=by_id(group.stopped.values()))
    if not known_wood:
        why, parts = left_out("the wood species is not known", left), by_id(lacking)
        return Task(name, "coverage", status="blocked", why=why, missing=missing, parts=parts)
    bought, sanded = [m for m, _, _ in known_wood], sanding.sanded_faces(done)
    faces = tuple(
        Face(
            zone=f.zone,
            part=f.part,
            item=f.item,
            side=f.side,
            area=f.area,
            species=m.fields.species,
            surface=unsanded.as_coated(m, f, sanded, job, done, known),
            uptake=surfaces.uptake(m, f, done),
            old_coating=old,
        )
        for m, f, old in known_wood
    )
    inputs = coverage.Inputs(
        faces=faces,
        coating=group.coating,
        coats=group.coats,
        jurisdiction=job.site.jurisdiction,
        as_of=job.as_of,
        application=job.choices.application,
    )
    status = "partial" if missing or left else "done"
    reasons = (
        "some zones are left out: their wood species is not known" if missing else "",
        earliest.tested_again(bought, zones, done),
    )
    why = left_out("; ".join(filter(None, reasons)), left)
    wet = dict.fromkeys(step for m in bought for step in earliest.not_ready(m.zone.id, done))
    return Task(name, "coverage", inputs, status, why, missing, parts=by_id(bought), rests_on=tuple(wet))


#: In the order in which they are found out: what is washed and sanded is known before what is protected for it.
STEPS = (
    Step("area", _area),
    Step("condition", old_surface.condition_tasks, after=_shut),
    Step("preparation", old_surface.preparation_tasks),
    Step("wash", old_surface.wash_tasks),
    Step("abrasive-sequence", sanding.sanding_tasks, after=_unprepared),
    Step("masking", sanding.masking_tasks),
    Step("fasteners", sanding.fastener_tasks),
    Step("moisture-readiness", moisture.moisture_tasks),
    Step("coverage", _coverage, after=earliest.say_before_buying),
    Step("cure-windows", windows.window_tasks),
    Step("wipe-cadence", cadence.cadence_tasks),
)

#: In the order of work.
ORDER: Final = (
    "area",
    "condition",
    "preparation",
    "masking",
    "wash",
    "fasteners",
    "abrasive-sequence",
    "moisture-readiness",
    "coverage",
    "cure-windows",
    "wipe-cadence",
)
