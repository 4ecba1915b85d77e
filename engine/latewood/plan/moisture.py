"""Whether the wood of a job is dry enough for its coats, and how long it waits after a wash."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

import msgspec

from latewood.calculators import moisture_readiness
from latewood.calculators.moisture_readiness.inputs import (
    DropTest,
    MoistureReading,
    ReadinessZone,
    WettingEvent,
)
from latewood.declare import RecordLookup
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.old_surface import named
from latewood.plan.readings import CLIMATE, RULES, Moisture
from latewood.plan.stopped import Done
from latewood.plan.surface_rules import weathering_of
from latewood.plan.task import Task, by_id, left_out
from latewood.problems import Fault, InputProblem
from latewood.quantities.instants import Moment, zone_of
from latewood.quantities.units import UnitError
from latewood.records import Coating

#: Where inputs of the calculator stand in a job, lists apart.
_STANDS = (
    *((f"/{name}", f"/site/{name}") for name in ("latitude", "longitude", "timezone", "year_built")),
    *((f"/{name}", f"/moisture/{name}") for name in (*CLIMATE, *RULES)),
)


def moisture_tasks(job: Job, zones: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Judge the zones of each coating as they are, then as they will be once washed; a silent job is not asked."""
    _refuse(job, zones)
    every = [merged for merged in zones if merged.fields.material != "composite"]
    wood = [merged for merged in every if merged.id not in done.stops]
    if job.readings or job.drop_tests or job.wetting or job.moisture is not None:
        left = done.stops.why(merged.id for merged in every)
        if left and not wood:
            yield Task("moisture-readiness", "moisture-readiness", status="skipped", why=left, parts=by_id(every))
        for name, coating, members in _groups(wood):
            inputs, stands = _inputs(job, members, coating, done, known)
            id, parts, why = f"moisture-readiness{name}", by_id(members), left_out("", left)
            yield Task(id, "moisture-readiness", inputs, "partial" if left else "done", why, stands=stands, parts=parts)
    yield from _after_wash(job, wood, zones, done, known)


def _after_wash(
    job: Job, wood: list[EffectiveZone], zones: list[EffectiveZone], done: dict[str, Any], known: RecordLookup
) -> Iterator[Task]:
    """Say how long the zones that are washed then wait: a wash is part of the route, not of the weather."""
    washed: dict[str, Any] = {}
    ends: dict[str, datetime | None] = {}
    for merged in wood:
        result = done.get(named("wash", merged, zones))
        if result is not None and result.wetting is not None:
            washed[merged.id] = result.wetting
            chosen = done[named("preparation", merged, zones)]
            ends[merged.id] = next(row.washed_at for row in chosen.routes if row.id == chosen.chosen)
    if not washed:
        return
    usual = known.record("wetting-kind", "washed").common_wait
    common = f"by common practice, without a source, a washed deck waits {usual.given}" if usual is not None else ""
    climate = job.moisture is not None and None not in (job.moisture.temperature, job.moisture.relative_humidity)
    for name, coating, members in _groups([merged for merged in wood if merged.id in washed]):
        id = f"moisture-after-wash{name}"
        if job.weather is None and not climate:
            why = f"without weather, or a mean temperature and humidity, nobody can say how long it waits; {common}"
            missing = ("/weather", "/moisture/temperature", "/moisture/relative_humidity")
            yield Task(id, "moisture-readiness", status="blocked", why=why, missing=missing, parts=by_id(members))
            continue
        # A wash dries by the days after it, not by the first ones of the weather.
        times = [at for merged in members if (at := ends[merged.id]) is not None]
        if job.weather is not None and len(times) < len(members):
            why = (
                "the wash is done on days that the weather given does not reach: ask again with their forecast; "
                f"{common}"
            )
            yield Task(id, "moisture-readiness", status="skipped", why=why, parts=by_id(members))
            continue
        inputs, stands = _inputs(job, members, coating, done, known)
        if times:
            inputs = _as_of(inputs, max(times))
        events = tuple(WettingEvent(cause=washed[m.id].cause, zone=m.id) for m in members)
        depths = {merged.id: washed[merged.id].wetted_depth for merged in members}
        known_depths = tuple(
            msgspec.structs.replace(zone, wetted_depth=depths[zone.id], surface_wet=None) for zone in inputs.zones
        )
        # Readings from before the wash say nothing of after it, and showers come on top of it.
        after = msgspec.structs.replace(inputs, zones=known_depths, wettings=events, readings=(), drop_tests=())
        when = f"washed by {max(times):%a %d %b %H:%M}" if times else "as if washed now"
        why = f"{when}: coating waits until the outer wood is dry again; {common}"
        yield Task(id, "moisture-readiness", after, why=why, stands=stands, parts=by_id(members))


def _as_of(inputs: moisture_readiness.Inputs, now: datetime) -> moisture_readiness.Inputs:
    """Return the inputs with another now; a start that was planned before it does not stand."""
    zone = None if inputs.timezone is None else zone_of(inputs.timezone)
    try:
        late = inputs.start is not None and inputs.start.instant(zone) < now
    except UnitError:
        # The calculator names what is wrong with it.
        late = False
    return msgspec.structs.replace(inputs, now=Moment(now.isoformat(), now), start=None if late else inputs.start)


def _groups(wood: list[EffectiveZone]) -> Iterator[tuple[str, Coating | None, list[EffectiveZone]]]:
    """Yield the zones that take the same coating, and what to add to the name of their step."""
    groups: dict[str, list[EffectiveZone]] = {}
    for merged in wood:
        coating = merged.fields.coating
        if coating is None or not coating.bare:
            groups.setdefault("" if coating is None else coating.id, []).append(merged)
    for id, members in groups.items():
        several = len(groups) > 1
        yield (f"-{id or 'no-coating'}" if several else ""), members[0].fields.coating, members


def _inputs(
    job: Job, members: list[EffectiveZone], coating: Coating | None, done: dict[str, Any], known: RecordLookup
) -> tuple[moisture_readiness.Inputs, tuple[tuple[str, str], ...]]:
    """Return what the calculator is asked for these zones, and where it stands in the job."""
    names = {merged.zone.id for merged in members}
    stands = list(_STANDS)
    kept: dict[str, tuple[Any, ...]] = {}
    for field, target, rows in _said(job):
        chosen = [(place, row) for place, row in enumerate(rows) if row.zone is None or row.zone in names]
        kept[target] = tuple(row for _, row in chosen)
        stands += [(f"/{target}/{new}", f"/{field}/{place}") for new, (place, _) in enumerate(chosen)]
    stands += [(f"/zones/{new}", merged.pointer) for new, merged in enumerate(members)]
    said = job.moisture or Moisture()
    climate = {} if job.weather is not None else {name: getattr(said, name) for name in CLIMATE}
    inputs = moisture_readiness.Inputs(
        zones=tuple(_zone(merged, job, done, known) for merged in members),
        readings=kept["readings"],
        drop_tests=kept["drop_tests"],
        wettings=kept["wettings"],
        coating=coating,
        weather=job.weather,
        latitude=job.site.latitude,
        longitude=job.site.longitude,
        timezone=job.site.timezone,
        year_built=job.site.year_built,
        **{name: getattr(said, name) for name in RULES},
        **climate,
    )
    return inputs, tuple(stands)


def _zone(merged: EffectiveZone, job: Job, done: dict[str, Any], known: RecordLookup) -> ReadinessZone:
    fields = merged.fields
    area = next((zone.area for zone in done["area"].zones if zone.id == merged.zone.id), None)
    size = None if fields.boards is None else fields.boards.size
    return ReadinessZone(
        id=merged.zone.id,
        area=area,
        species=fields.species,
        exposure=fields.exposure,
        treatment=fields.treatment,
        coated_before=None if fields.old_coating is None else fields.old_coating != "none",
        weathered=weathering_of(merged, job, known).said,
        mixed_age=fields.mixed_age,
        surface_wet=fields.surface_wet,
        thickness=None if size is None else size.thickness,
        gap=None if fields.boards is None else fields.boards.gap,
    )


def _refuse(job: Job, zones: list[EffectiveZone]) -> None:
    """Refuse what was read or wetted in a zone the job does not have."""
    names = [merged.zone.id for merged in zones]
    faults = [
        Fault(
            pointer=f"/{field}/{place}/zone",
            code="conflict",
            detail=f"there is no zone {row.zone}",
            expected="one of " + ", ".join(names[:10]),
        )
        for field, _, rows in _said(job)
        for place, row in enumerate(rows)
        if row.zone is not None and row.zone not in names
    ]
    if faults:
        raise InputProblem(faults)


def _said(job: Job) -> tuple[tuple[str, str, tuple[MoistureReading | DropTest | WettingEvent, ...]], ...]:
    """Return the lists that speak of zones: their name in the job, in the calculator, and what they hold."""
    return (
        ("readings", "readings", job.readings),
        ("drop_tests", "drop_tests", job.drop_tests),
        ("wetting", "wettings", job.wetting),
    )
