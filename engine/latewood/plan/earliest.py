"""Before which moment no coat of a zone may start by the earlier steps of a plan, and what a start still rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from latewood.calculators.moisture_readiness.result import ZoneReadiness
from latewood.declare import RecordLookup
from latewood.messages import Clause, Moment, Name, Word, clause
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Guard, Job
from latewood.plan.kinds import AFTER_WASH, CONDITION, COVERAGE, PREPARATION, READINESS
from latewood.plan.surface_rules import chosen_of
from latewood.plan.task import Task
from latewood.provenance import Ledger
from latewood.weather import Hours

#: Gates of a guard that keeps people from no fall.
_OPEN: Final = ("stop-structure", "replace")


@dataclass(frozen=True)
class Bound:
    """The earliest start, why, why there is none at all, and what must be done or read first, with what asks for it."""

    at: datetime | None = None
    why: tuple[Clause, ...] = ()
    never: tuple[Clause, ...] = ()
    first: tuple[Clause, ...] = ()
    rests_on: tuple[str, ...] = ()


def bound(hours: Hours, members: Sequence[EffectiveZone], done: Done) -> Bound:
    """Return the latest of what earlier steps ask of these zones; drying and preparation count at median times."""
    times: list[tuple[datetime, Clause]] = []
    never: list[Clause] = []
    first: dict[str, Clause] = {}
    for merged in members:
        for guard in open_guards(merged, done):
            first[guard] = clause("repair-guard-first", guard=Name(guard))
    for merged in members:
        for step, repair in _repairs(merged, done):
            first.setdefault(step, repair)
        times += _prepared(merged, hours, done)
        for task, row, rows in readiness(merged, done):
            zone = Name(merged.id)
            if row.never and row.verdict != "ready":
                never.append(clause("never-dry-in-this-weather", zone=zone))
            elif row.dry_by is not None:
                times.append((row.dry_by, clause("dry-by-then", zone=zone)))
            if row.test_again is not None:
                times.append((row.test_again, clause("drops-again-then", zone=zone)))
            if row.verdict != "ready":
                first.setdefault(task.id, _reading(members, rows))
    at = max((time for time, _ in times), default=None)
    why = tuple(why for time, why in times if time == at)[-1:]
    said = [*first.values()]
    once = tuple(one for place, one in enumerate(said) if one not in said[:place])
    return Bound(at, why, tuple(never), once, tuple(first))


def readiness(merged: EffectiveZone, done: Done) -> Iterator[tuple[Task, ZoneReadiness, Sequence[ZoneReadiness]]]:
    """Yield the steps on drying, now and once washed, with what each says of a zone, and of all its zones."""
    for task, result in (*done.every(READINESS), *done.every(AFTER_WASH)):
        yield from ((task, row, result.zones) for row in result.zones if row.id == merged.zone.id)


def not_ready(merged: EffectiveZone, done: Done) -> list[str]:
    """Return the steps by which a zone, as it is now, is not to be coated yet."""
    found = readiness(merged, done)
    return [task.id for task, row, _ in found if task.kind is READINESS and row.verdict == "not-ready"]


def find_before_buying(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """Say which purchases rest on drops that have to soak in first."""
    bought = {row.id for _, result in done.every(COVERAGE) for row in result.zones}
    held = [row for merged in done.zones if (row := _row(merged, done)) is not None and row.id in bought]
    if not held:
        return
    zones, ends = [row.id for row in held], [row.test_again for row in held if row.test_again is not None]
    when = [clause("from-time", at=Moment(max(ends)))] if ends else []
    ledger.find("purchase-rests-on-drops", params={"zones": zones}, zones=[Name(id) for id in zones], when=when)


def tested_again(members: Iterable[EffectiveZone], done: Done) -> tuple[Clause, ...]:
    """Return when the floors of these parts are tested again; nothing where no drop asks for a wait."""
    return tuple(when for merged in members for when in _tested(merged, done))


def _tested(merged: EffectiveZone, done: Done) -> Iterator[Clause]:
    """Yield when drops are put on a floor again: to the minute where they were put on, by the day where told of."""
    row = _row(merged, done)
    if row is not None and row.test_again is not None:
        yield clause("tested-again-from", zone=Name(row.id), at=Moment(row.test_again))
        return
    prepared = done.one(PREPARATION, merged.zone.id)
    if prepared is not None and prepared.test_again_on is not None:
        yield clause("tested-again-on", zone=Name(merged.zone.id), day=Moment(prepared.test_again_on))


def _row(merged: EffectiveZone, done: Done) -> ZoneReadiness | None:
    """Return what was found of a floor that waits for its drops; None where it does not."""
    return next((row for _, row, _ in readiness(merged, done) if row.test_again_after is not None), None)


def open_guards(merged: EffectiveZone, done: Done) -> Iterator[str]:
    """Yield the guards of a zone that are missing or do not hold, by their ids in the plan."""
    looked, guards = done.one(CONDITION), (m for m in done.components.values() if isinstance(m.own, Guard))
    ids = {guard.id for guard in guards if guard.zone.id == merged.zone.id}
    yield from (row.id for row in (looked.components if looked else ()) if row.id in ids and row.gate in _OPEN)


def _prepared(merged: EffectiveZone, hours: Hours, done: Done) -> Iterator[tuple[datetime, Clause]]:
    """Yield the morning on which preparation leaves a floor ready, the first day of the weather being the first."""
    for task, result in done.every(PREPARATION):
        row = chosen_of(result)
        if merged.id in task.parts and row is not None and row.ready_morning is not None and row.ready_morning > 1:
            morning = hours.start.astimezone(hours.zone).replace(hour=0, minute=0, second=0, microsecond=0)
            at = morning + timedelta(days=row.ready_morning - 1)
            yield at, clause("prepared-by-then", zone=Name(merged.id))


def _repairs(merged: EffectiveZone, done: Done) -> Iterator[tuple[str, Clause]]:
    """Yield the steps that ask for repairs before a floor is sanded or washed, with what to do before its coat.

    Wood that is put in has a moisture of its own. Common practice, no source.
    """
    for task, result in done.every(PREPARATION):
        damaged = [Word("sign", sign.id) for sign in result.signs if sign.effect == "repaired-first"]
        if merged.id in task.parts and damaged:
            yield task.id, clause("repair-first", zone=Name(merged.id), signs=damaged)


def _reading(members: Sequence[EffectiveZone], rows: Sequence[ZoneReadiness]) -> Clause:
    """Say what is read, and where drops are put on the wood again."""
    unready = {row.id for row in rows if row.verdict != "ready"}
    read = [Name(merged.id) for merged in members if merged.zone.id in unready]
    waits = {row.id for row in rows if row.test_again_after is not None}
    dropped = [Name(merged.id) for merged in members if merged.zone.id in waits]
    return clause("read-and-drop-first", read=read, dropped=dropped) if dropped else clause("read-first", zones=read)
