"""The steps of a plan: each maps the job and earlier results to one calculator's inputs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from latewood.calculators import area, coverage
from latewood.calculators.area.fields import AreaZone
from latewood.calculators.area.result import FaceArea
from latewood.calculators.coverage.fields import Face
from latewood.declare import RecordLookup
from latewood.messages import Name, clause
from latewood.plan import (
    cadence,
    earliest,
    fastening,
    hazards,
    kinds,
    moisture,
    old_finish,
    old_surface,
    protection,
    sanding,
    surfaces,
    totals,
    unsanded,
    windows,
)
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import AREA, CONDITION, COVERAGE, Kind
from latewood.plan.old_finish import OldFinish
from latewood.plan.task import Status, Task, by_id, filled, left_out
from latewood.plan.unasked import unasked
from latewood.provenance import Ledger
from latewood.records import Coating
from latewood.rules.hazard_fields import Old


def take_off(job: Job, zones: list[EffectiveZone]) -> area.Inputs:
    """Return what a job says of shapes, as the take-off asks for it."""
    shapes = tuple(filled(AreaZone, merged.zone, species=merged.fields.species) for merged in zones)
    return filled(area.Inputs, job, zones=shapes, boards=job.defaults.boards)


#: Where inputs of the take-off stand in a job, if not at the same place.
POINTER_MAP = (("/boards", "/defaults/boards"),)


def _area(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    inputs = take_off(job, done.zones)
    yield Task(AREA, inputs=inputs, stands=POINTER_MAP, in_job=True, parts=by_id(done.whole))


def _shut(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Stop what is behind a gate that nothing is planned behind."""
    if (looked := done.one(CONDITION)) is not None:
        done.stops.shut(looked.components)


def _unprepared(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Find what the work that is planned leaves unfit for its finish: a film is left, or no machine may sand it."""
    components = done.components.values()
    old_finish.find_left(job, done, known, ledger)
    if sanding.is_requested(job, done):
        sanding.find_part_routes(done, known, ledger)
        sanded = {zone for zone, _, item in done.sanded if item is None}
        stopped = {merged.id for merged in done.zones if merged.id in done.stops}
        hazards.find_unsandable(job, components, sanded | stopped, known, ledger)
    done.stops.heed(ledger.raised, by_id(done.whole))
    unsanded.find(job, done, known, ledger)


def _coverage(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """One purchase for each coating and number of coats: a can is not shared between coatings."""
    old = OldFinish(job, done, known)
    groups: dict[tuple[str, int | None], Group] = {}
    for merged, face in done.faces:
        under = old.under(merged, face)
        if under is not None:
            group = groups.setdefault((under.new.id, merged.fields.coats), Group(under.new, merged.fields.coats))
            if merged.id in done.stops:
                group.stopped[merged.id] = merged
            elif not under.refused:
                group.members.append((merged, face, under.old))
    if why := protection.spray_stopped(done):
        yield Task(COVERAGE, status="blocked", why=why, unlock=protection.SPRAYED, parts=by_id(done.whole))
        return
    if not any(group.members for group in groups.values()):
        held = tuple(dict.fromkeys(id for group in groups.values() for id in group.stopped))
        if held:
            yield Task(COVERAGE, status="stopped", why=done.stops.why(held), held=held)
        elif any(merged.fields.material != "composite" for merged in done.whole):
            yield unasked(COVERAGE)
        else:
            yield Task(COVERAGE, status="skipped", why=(clause("nothing-of-wood"),), parts=by_id(done.whole))
        return
    for (coating_id, coats), group in groups.items():
        several = sum(1 for other, _ in groups if other == coating_id) > 1
        name = coating_id + (f"-{coats}" if several and coats is not None else "")
        yield _purchase(name, group, job, done, known)


@dataclass
class Group:
    """The faces that take one coating in one number of coats, with what is left on each, and parts that are stopped."""

    coating: Coating
    coats: int | None
    members: list[tuple[EffectiveZone, FaceArea, Old | None]] = field(default_factory=list)
    stopped: dict[str, EffectiveZone] = field(default_factory=dict)


def _purchase(name: str, group: Group, job: Job, done: Done, known: RecordLookup) -> Task:
    """Return the purchase of a coating; of wood that nothing is put on the species need not be known."""
    bare, held = group.coating.bare, tuple(group.stopped)
    left = done.stops.why(held)
    known_wood = [(m, f, old) for m, f, old in group.members if bare or m.fields.species is not None]
    lacking = [m for m, _, _ in group.members if m.fields.species is None and not bare]
    unlock = tuple(dict.fromkeys(m.pointer_to("species") for m in lacking))
    if not group.members:
        return Task(COVERAGE, name, status="stopped", why=left, held=held)
    if not known_wood:
        why, parts = left_out((clause("wood-not-known"),), left), by_id(lacking)
        return Task(COVERAGE, name, status="blocked", why=why, unlock=unlock, held=held, parts=parts)
    bought = [m for m, _, _ in known_wood]
    faces = tuple(
        filled(
            Face,
            f,
            species=m.fields.species,
            surface=unsanded.as_coated(m, f, job, done, known),
            uptake=surfaces.uptake(m, f, done),
            old_coating=old,
        )
        for m, f, old in known_wood
    )
    asked: dict[str, Any] = {"faces": faces, "coating": group.coating, "coats": group.coats}
    finish = next((n for n, one in enumerate(job.finishes) if one.coating.id == group.coating.id), None)
    stands = () if finish is None else (("/product", f"/finishes/{finish}/product"),)
    if finish is not None:
        asked["product"] = job.finishes[finish].product
    inputs = filled(coverage.Inputs, job, job.site, job.choices, **asked)
    status: Status = "partial" if unlock or left else "done"
    lacks = (clause("species-not-known-of", parts=[Name(m.id) for m in lacking]),) if lacking else ()
    why = left_out((*lacks, *earliest.tested_again(bought, done)), left)
    wet = dict.fromkeys(step for m in bought for step in earliest.not_ready(m, done))
    parts, rests_on = by_id(bought), tuple(wet)
    return Task(COVERAGE, name, inputs, status, why, unlock, stands, held=held, parts=parts, rests_on=rests_on)


@dataclass(frozen=True)
class Step:
    """A step of a plan: the tasks it comes to, what they say together, and the totals that their results go into."""

    kind: Kind[Any]
    tasks: Callable[[Job, Done, RecordLookup], Iterator[Task]]
    after: Callable[[Job, Done, RecordLookup, Ledger], None] | None = None
    totals: tuple[totals.Total, ...] = ()


#: In the order in which they are found out: what is washed and sanded is known before what is protected for it.
STEPS = (
    Step(AREA, _area, totals=(totals.floor,)),
    Step(CONDITION, old_surface.condition_tasks, after=_shut),
    Step(kinds.PREPARATION, old_surface.preparation_tasks),
    Step(kinds.WASH, old_surface.wash_tasks, totals=(totals.waste,)),
    Step(kinds.SANDING, sanding.sanding_tasks, after=_unprepared, totals=(totals.waste,)),
    Step(kinds.MASKING, protection.masking_tasks, totals=(totals.waste,)),
    Step(kinds.FASTENERS, fastening.fastener_tasks),
    Step(kinds.READINESS, moisture.moisture_tasks),
    Step(COVERAGE, _coverage, after=earliest.find_before_buying, totals=(totals.waste,)),
    Step(kinds.WINDOWS, windows.window_tasks, totals=(totals.hand_over,)),
    Step(kinds.CADENCE, cadence.cadence_tasks, totals=(totals.waste,)),
)
