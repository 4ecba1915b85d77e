"""What is covered before the work that would reach it: walls, ground, plants and neighbours."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from typing import Any, Final

from latewood.calculators import masking
from latewood.declare import RecordLookup
from latewood.messages import Clause, Titled, clause
from latewood.plan.borders import borders, outlines_of
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.hazards import found_in
from latewood.plan.job import Job
from latewood.plan.kinds import MASKING, WASH
from latewood.plan.sanding import is_requested
from latewood.plan.surface_rules import old_coating
from latewood.plan.task import Status, Task, by_id, filled, left_out
from latewood.rules.hazard_fields import LEAD_TESTS
from latewood.rules.hazards import rank
from latewood.uncertainty import spread

#: Where a job says how the finish is put on.
SPRAYED: Final = ("/choices/application",)


def masking_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Protect what must not get wet, dusty or stained, before any of it happens, and only where it does."""
    if not is_requested(job, done):
        return
    coated = [merged for merged in done.whole if merged.is_coated]
    works, worked = _works(job, coated, done)
    held = tuple(merged.id for merged in coated)
    left = done.stops.why(held)
    if not works:
        why = left or (clause("no-work-to-protect-from"),)
        yield Task(MASKING, status=done.stops.status(held), why=why, parts=by_id(coated), held=held)
        return
    outlines = outlines_of(done, {merged.zone.id for merged in worked})
    floors = {merged.id for merged in worked if merged.own is None}
    # An edge tool touches what stands on a floor, whether or not that is worked on itself.
    touched = [*worked, *(merged for merged in done.whole if merged.own is not None and merged.zone.id in floors)]
    called, careful = _most_careful(job, touched, known)
    inputs = filled(
        masking.Inputs,
        job,
        job.site,
        job.surroundings,
        works=tuple(known.record("site-protection", id) for id in works),
        borders=borders(job, outlines),
        area=math.fsum(float(spread.value(row.area)) for row in done.area.zones if row.id in floors),
        **careful,
    )
    status: Status = "partial" if left else "done"
    stands = [(f"/wall_{name}", f"/surroundings/wall_{name}") for name in ("coating", *LEAD_TESTS)]
    most = next((merged for merged in touched if merged.id == called.get("deck")), None)
    if most is not None:
        stands += [(f"/{name}", most.pointer_to(name)) for name in ("old_coating", *LEAD_TESTS)]
    shown = left_out((clause("why-masking"),), left)
    at, parts = tuple(stands), by_id(worked)
    yield Task(MASKING, "", inputs, status, shown, stands=at, held=held, parts=parts, called=called)


def _most_careful(
    job: Job, touched: Iterable[EffectiveZone], known: RecordLookup
) -> tuple[dict[str, str], dict[str, Any]]:
    """Return the part whose old coating asks for most care, as masking calls it, and that coating with its test.

    One that may hold lead comes before one that does not. Nothing where none was named.
    """
    named = [m for m in touched if old_coating(m, known) is not None]
    named.sort(key=lambda m: (-rank(found_in(job, m, known).lead), old_coating(m, known) == "none"))
    if not named:
        return {}, {}
    tests = {name: getattr(named[0].fields, name) for name in LEAD_TESTS}
    return {"deck": named[0].id}, {"old_coating": old_coating(named[0], known), **tests}


def _works(job: Job, coated: list[EffectiveZone], done: Done) -> tuple[list[str], list[EffectiveZone]]:
    """Return the kinds of work that scatter something, in their order, and the parts they are done on."""
    washed = [m for m in done.zones if (one := done.one(WASH, m.id)) and one.verdict == "go"]
    brushed = [merged for merged in coated if merged.id not in done.stops]
    application = job.choices.application
    coating = None if application is None else application.protection
    sanded = brushed if done.sanded else []
    done_on = {"washing": washed, "sanding": sanded, coating or "brushing": brushed}
    worked = {merged.id: merged for members in done_on.values() for merged in members}
    return [work for work, members in done_on.items() if members], list(worked.values())


def spray_stopped(done: Done) -> tuple[Clause, ...]:
    """Return why nothing may be sprayed here, empty where it may, or was not asked for."""
    masked = done.one(MASKING)
    stopped = next((row for row in (masked.works if masked else ()) if row.verdict == "stop"), None)
    return () if stopped is None else (clause("not-done-here", work=Titled(stopped.goes_by)),)
