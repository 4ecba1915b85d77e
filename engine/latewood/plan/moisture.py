"""Whether the wood of a job is dry enough for its coats, and how long it waits after a wash."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from typing import Any

import msgspec

from latewood.calculators import moisture_readiness
from latewood.calculators.moisture_readiness.inputs import DropTest, MoistureReading, ReadinessZone, WettingEvent
from latewood.declare import RecordLookup
from latewood.messages import Moment as Told
from latewood.messages import Name, clause, refusal
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.kinds import AFTER_WASH, PREPARATION, READINESS, WASH
from latewood.plan.readings import CLIMATE, RULES
from latewood.plan.surface_rules import chosen_of, weathering_of
from latewood.plan.task import Status, Task, by_id, filled, left_out
from latewood.problems import InputProblem
from latewood.quantities.instants import Moment, zone_of
from latewood.quantities.units import UnitError
from latewood.records import Coating
from latewood.rules.new_wood import span_of

#: Where inputs of the calculator stand in a job, lists apart.
_POINTER_MAP = (
    *((f"/{name}", f"/site/{name}") for name in ("latitude", "longitude", "elevation", "timezone", "year_built")),
    *((f"/{name}", f"/moisture/{name}") for name in (*CLIMATE, *RULES)),
)


def moisture_tasks(job: Job, done: Done, known: RecordLookup) -> Iterator[Task]:
    """Judge the zones of each coating as they are, then as they will be once washed; a silent job is not asked."""
    _check_what_is_stated(job, done.zones)
    every = [merged for merged in done.zones if merged.fields.material != "composite"]
    wood = [merged for merged in every if merged.id not in done.stops]
    if job.readings or job.drop_tests or job.wetting or job.moisture is not None:
        held = tuple(merged.id for merged in every)
        left = done.stops.why(held)
        if left and not wood:
            yield Task(READINESS, status="stopped", why=left, held=held)
        elif not wood:
            yield Task(READINESS, status="skipped", why=(clause("no-floor-of-wood"),), parts=by_id(done.zones))
        for name, coating, members in _groups(wood):
            inputs, stands = _inputs(job, members, coating, done, known)
            parts, why = by_id(members), left_out((), left)
            status: Status = "partial" if left else "done"
            yield Task(READINESS, name, inputs, status, why, stands=stands, held=held, parts=parts)
    yield from _after_wash(job, wood, done, known)


def _after_wash(job: Job, wood: list[EffectiveZone], done: Done, known: RecordLookup) -> Iterator[Task]:
    """Say how long the zones that are washed then wait: a wash is part of the route, not of the weather."""
    washed: dict[str, Any] = {}
    ends: dict[str, datetime | None] = {}
    for merged in wood:
        result, prepared = done.one(WASH, merged.id), done.one(PREPARATION, merged.id)
        row = None if prepared is None else chosen_of(prepared)
        if result is not None and result.wetting is not None and row is not None:
            washed[merged.id], ends[merged.id] = result.wetting, row.washed_at
    if not washed:
        return
    usual = known.record("wetting-kind", "washed").common_wait
    common = () if usual is None else (clause("usual-wait-after-wash", wait=span_of(usual.number)),)
    climate = job.moisture is not None and None not in (job.moisture.temperature, job.moisture.relative_humidity)
    for name, coating, members in _groups([merged for merged in wood if merged.id in washed]):
        if job.weather is None and not climate:
            why = (clause("wait-after-wash-unknown"), *common)
            unlock = ("/weather", "/moisture/temperature", "/moisture/relative_humidity")
            yield Task(AFTER_WASH, name, status="blocked", why=why, unlock=unlock, parts=by_id(members))
            continue
        # A wash dries by the days after it, not by the first ones of the weather.
        times = [at for merged in members if (at := ends[merged.id]) is not None]
        if job.weather is not None and len(times) < len(members):
            why = (clause("wash-after-weather"), *common)
            yield Task(AFTER_WASH, name, status="skipped", why=why, parts=by_id(members))
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
        when = clause("washed-by", at=Told(max(times))) if times else clause("as-if-washed-now")
        why = (clause("coating-waits-after-wash", when=when), *common)
        yield Task(AFTER_WASH, name, after, why=why, stands=stands, parts=by_id(members))


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
        yield (id or "no-coating") if len(groups) > 1 else "", members[0].fields.coating, members


def _inputs(
    job: Job, members: list[EffectiveZone], coating: Coating | None, done: Done, known: RecordLookup
) -> tuple[moisture_readiness.Inputs, tuple[tuple[str, str], ...]]:
    """Return what the calculator is asked for these zones, and where it stands in the job."""
    names = {merged.zone.id for merged in members}
    stands = list(_POINTER_MAP)
    kept: dict[str, tuple[Any, ...]] = {}
    for field, target, rows in _said(job):
        chosen = [(place, row) for place, row in enumerate(rows) if row.zone is None or row.zone in names]
        kept[target] = tuple(row for _, row in chosen)
        stands += [(f"/{target}/{new}", f"/{field}/{place}") for new, (place, _) in enumerate(chosen)]
    stands += [(f"/zones/{new}", merged.pointer) for new, merged in enumerate(members)]
    kept["zones"] = tuple(_zone(merged, job, done, known) for merged in members)
    climate = {} if job.weather is None else dict.fromkeys(CLIMATE)
    own = {"coating": coating, "weather": job.weather, **kept, **climate}
    return filled(moisture_readiness.Inputs, job.site, job.moisture, **own), tuple(stands)


def _zone(merged: EffectiveZone, job: Job, done: Done, known: RecordLookup) -> ReadinessZone:
    fields = merged.fields
    area = next((zone.area for zone in done.area.zones if zone.id == merged.zone.id), None)
    return filled(
        ReadinessZone,
        fields,
        id=merged.zone.id,
        area=area,
        coated_before=None if fields.old_coating is None else fields.old_coating != "none",
        weathered=weathering_of(merged, job, known).said,
        thickness=merged.thickness,
        gap=None if fields.boards is None else fields.boards.gap,
    )


def _check_what_is_stated(job: Job, zones: list[EffectiveZone]) -> None:
    """Refuse what was read or wetted in a zone the job does not have."""
    names = [merged.zone.id for merged in zones]
    faults = [
        refusal("zone-not-there", f"/{field}/{place}/zone", zone=Name(row.zone), zones=[*map(Name, names)])
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
