"""The bands in which the floor of each coating is laid and wiped, for the crew of a job."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import msgspec

from latewood.calculators import cure_windows, wipe_cadence
from latewood.calculators.area.resolve.boards import GAP
from latewood.calculators.wipe_cadence.fields import CadenceRun
from latewood.calculators.wipe_cadence.validation import MOST_COURSES, wiped
from latewood.declare import RecordLookup
from latewood.messages import Clause, Count, Titled, clause
from latewood.plan import earliest, windows
from latewood.plan.crew import Crew
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import CADENCE, COVERAGE, WINDOWS
from latewood.plan.protection import SPRAYED, spray_stopped
from latewood.plan.task import Status, Task, by_id, filled
from latewood.records import Coating, Species
from latewood.uncertainty.spread import Number

#: Where inputs of the calculator stand in a job.
POINTER_MAP = (("/product", "/crew/wiping"), ("/runs", "/zones"), ("/coating", "/defaults/coating"), ("", "/crew"))


@dataclass(frozen=True)
class Group:
    """The zones of one coating on one wood."""

    coating: Coating
    species: Species | None
    zones: list[EffectiveZone]


def cadence_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Plan the bands of each coating and wood: the regime goes by both."""
    if job.crew is None:
        return
    if why := spray_stopped(done):
        yield Task(CADENCE, status="blocked", why=why, unlock=SPRAYED, parts=by_id(done.zones))
        return
    groups: dict[tuple[str, str | None], Group] = {}
    taken, held = done.to_coat()
    for merged, coating in taken:
        species = merged.fields.species
        wood = None if species is None else species.id
        groups.setdefault((coating.id, wood), Group(coating, species, [])).zones.append(merged)
    if held or not groups:
        why = done.stops.why(by_id(held)) or (clause("no-zone-to-coat"),)
        yield Task(CADENCE, status="stopped" if held else "skipped", why=why, held=tuple(by_id(held)))
    for (coating_id, wood), group in groups.items():
        several = sum(1 for other, _ in groups if other == coating_id) > 1
        name = coating_id + (f"-{wood}" if several and wood is not None else "")
        crew = job.crew
        if reasons := _no_window(job, group, done):
            why = (clause("no-window-so-no-bands", why=reasons),)
            yield Task(CADENCE, name, status="skipped", why=why, parts=by_id(group.zones))
            continue
        if crew.surface_temperature is None:
            warmest = boards_at_work(group.coating, done)
            crew = msgspec.structs.replace(crew, surface_temperature=warmest)
        about = tuple(begins for task, _ in _about(group, done) for begins in windows.begins(task))
        held_up = about or earliest.tested_again(group.zones, done)
        yield _task(name, crew, group, done, held_up)


def _about(group: Group, done: Done) -> list[tuple[Task, cure_windows.Result | None]]:
    """Return the steps of windows that are about zones of a group, with what each came to."""
    mine = {merged.id for merged in group.zones}
    return [(task, result) for task, result in done.tasks(WINDOWS) if mine & set(task.parts.values())]


def _no_window(job: Job, group: Group, done: Done) -> list[Clause]:
    """Return why nothing can be laid in the weather given; nothing where something can, or there is no weather."""
    about = _about(group, done)
    if job.weather is None or any(result is not None and result.windows for _, result in about):
        return []
    # What is not known of a finish in the weather says nothing of its bands.
    if any(task.status == "blocked" for task, _ in about):
        return []
    return [why for task, result in about for why in (task.why if result is None else (windows.why_not(result.text),))]


def boards_at_work(coating: Coating, done: Done) -> float | None:
    """Return how warm (K) boards get in the best window of a coating; None where there is no weather, or no window."""
    found = [
        result.windows[0].warmest_boards
        for task, result in done.every(WINDOWS)
        if task.inputs.coating.id == coating.id and result.windows
    ]
    return max((warmest for warmest in found if warmest is not None), default=None)


def _task(name: str, crew: Crew, group: Group, done: Done, held_up: tuple[Clause, ...]) -> Task:
    coating = group.coating
    if not wiped(coating):
        why = (clause("nothing-wiped-off", coating=Titled(coating)),)
        return Task(CADENCE, name, status="skipped", why=why, parts=by_id(group.zones))
    measured = {row.id: row for row in done.area.zones}
    runs, unlock = [], []
    for merged in group.zones:
        run = _run(merged, measured[merged.zone.id])
        if run is None:
            unlock.append(merged.pointer_to("boards/size"))
        else:
            runs.append(run)
    if not runs:
        why = (clause("boards-not-known"),)
        parts = by_id(group.zones)
        return Task(CADENCE, name, status="blocked", why=why, unlock=tuple(unlock), parts=parts)
    if sum(run.courses for run in runs) > MOST_COURSES:
        why = (clause("courses-of-several-days", most=Count(MOST_COURSES)),)
        return Task(CADENCE, name, status="skipped", why=why, parts=by_id(group.zones))
    inputs = filled(
        wipe_cadence.Inputs,
        crew,
        coating=coating,
        species=group.species,
        product=crew.wiping,
        runs=tuple(runs),
        gap_faces="coated" if any(m.fields.gap_faces == "coated" for m in group.zones) else None,
        applied=_applied(coating, done),
    )
    status: Status = "partial" if unlock else "done"
    parts = {run.id: run.id for run in runs}
    return Task(
        CADENCE,
        name,
        inputs,
        status,
        (clause("why-wipe-cadence"), *held_up),
        tuple(unlock),
        stands=POINTER_MAP,
        parts=parts,
    )


def _run(merged: EffectiveZone, row: Any) -> CadenceRun | None:
    """Return the boards of a zone as courses of one length, the mean; None where they are not known."""
    boards = merged.fields.boards
    if boards is None or boards.size is None or not row.boards or not row.board_length:
        return None
    return CadenceRun(
        id=merged.zone.id,
        course_length=row.board_length / row.boards,
        pitch=boards.size.width + (GAP if boards.gap is None else boards.gap),
        courses=row.boards,
        edge_length=row.obstacle_edge,
    )


def _applied(coating: Coating, done: Done) -> Number | None:
    """Return what of a coating is laid on in all, where one purchase covers it."""
    found = [result for task, result in done.every(COVERAGE) if task.inputs.coating.id == coating.id]
    return found[0].applied if len(found) == 1 else None
