"""What is seen on an old surface, and what that forbids: read by every step that comes after the route."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from latewood.calculators import preparation
from latewood.calculators.preparation.fields import RouteResult
from latewood.declare import RecordLookup
from latewood.messages import Name, repeats
from latewood.plan.effective_zones import EffectiveZone, effective_components, effective_zones
from latewood.plan.job import Job
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.quantities.instants import Moment, zone_of
from latewood.records.route import WETS
from latewood.rules.days import ahead, built_ahead
from latewood.rules.hazard_fields import Old, frame_faults, lead_test_faults, not_wood_faults, proof_faults
from latewood.rules.hazards import coating_seen
from latewood.rules.part_routes import floor_route_faults
from latewood.rules.signs import Sign
from latewood.rules.weathering import Told, Weathering, told_by, weathering


def chosen_of(result: preparation.Result) -> RouteResult | None:
    """Return what was found of the chosen route; None where none may be taken."""
    return next((row for row in result.routes if row.id == result.chosen), None)


def wetted(result: preparation.Result) -> bool:
    """Say whether the chosen route washes anything, as part of it or before it begins."""
    row = chosen_of(result)
    return row is not None and any(step.does in WETS for step in row.steps)


def weathering_of(merged: EffectiveZone, job: Job, known: RecordLookup) -> Weathering:
    """Return how weathered a floor is, by all a job says of it."""
    return weathering(told_of(merged, job), known, Ledger.scratch())


def told_of(merged: EffectiveZone, job: Job) -> Told:
    """Return what a job says of the age of a floor, and of what shows it."""
    age = None if job.moisture is None else job.moisture.new_wood_age
    return told_by(merged.fields, signs=signs(merged), year_built=job.site.year_built, as_of=job.as_of, age=age)


def old_coating(merged: EffectiveZone, known: RecordLookup) -> Old | None:
    """Return the coating on something now, the unknown one where a film is seen that nothing named makes."""
    return coating_seen(merged.fields.old_coating, signs(merged), known)


def signs(merged: EffectiveZone) -> tuple[Sign, ...]:
    """Return what is seen on a zone, or on a component itself."""
    return (merged.fields.signs or ()) if merged.own is None else merged.own.signs


def faults(job: Job) -> Iterator[Fault]:
    """Find a year of building or a test after the day the plan is made for, and what is said of no test or wood."""
    today = job.as_of
    yield from built_ahead(job.site.year_built, today, "/site/year_built")
    yield from floor_route_faults(job.choices.route, "/choices/route")
    for table in ("readings", "drop_tests"):
        for place, one in enumerate(getattr(job, table)):
            yield from ahead(_day(one.taken, job), today, f"/{table}/{place}/taken", "reading")
    yield from repeats("finish-twice", [one.coating.id for one in job.finishes], "/finishes/{}")
    asked = [("/defaults", job.defaults)]
    for table in ("zones", "stairs", "guards", "extras"):
        asked += [(f"/{table}/{place}", one) for place, one in enumerate(getattr(job, table))]
    for at, one in asked:
        yield from lead_test_faults(one, at, today=today)
        yield from frame_faults(getattr(one, "frame", None), f"{at}/frame")
        yield from not_wood_faults(one, at)
    zones = effective_zones(job)
    for merged in (*zones, *effective_components(job, zones).values()):
        # A part that says no more than its zone is refused with it.
        if merged.own is None or merged.own.treatment_evidence is not None:
            yield from proof_faults(merged.fields, merged.pointer)
    if job.surroundings is not None:
        yield from lead_test_faults(job.surroundings, "/surroundings", of="wall_", today=today)


def _day(at: Moment | None, job: Job) -> date | None:
    """Return the day of a moment as clocks at the deck show it, or as it was written where its zone is not known."""
    if at is None or at.local or job.site.timezone is None:
        return None if at is None else at.written.date()
    return at.written.astimezone(zone_of(job.site.timezone)).date()


def find_grey(whole: Iterable[EffectiveZone], ledger: Ledger) -> None:
    """Say where grey is left under a coat because the wood is to be coated as it is, and not sanded."""
    for merged in whole:
        surface = merged.fields.surface if merged.own is None else merged.own.surface
        over = surface == "weathered" or (surface not in (None, "sanded") and "grey" in signs(merged))
        if merged.is_coated and over:
            at, params = merged.pointer_to("surface"), {"zone": merged.zone.id, "of": merged.id}
            ledger.find("coating-over-grey", text="job-leaves-grey", pointer=at, params=params, part=Name(merged.id))
