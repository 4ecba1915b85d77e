"""Hours of a plan: what each piece of work takes, for whom and on which parts, as means, which add up.

Medians do not add up. A total here is the sum of the means of its lines, and that is the mean of the whole.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Final

from latewood.messages import Speaker
from latewood.plan.done import Done
from latewood.plan.effective_zones import of_face
from latewood.plan.fastening import order
from latewood.plan.kinds import CADENCE, FASTENERS, MASKING, PREPARATION, SANDING, WASH
from latewood.plan.surface_rules import chosen_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Steps of a route whose hours stand with the step that plans them.
_ELSEWHERE: Final = frozenset({"sand", "scuff", "vacuum", "set-heads"})
_HOUR: Final = 3600.0


def hours(done: Done, speaker: Speaker) -> list[dict[str, Any]]:
    """Return what each piece of work takes, in the order of work: steel that stains is replaced before a wash."""
    works = {MASKING: _masking, WASH: _route, FASTENERS: _fasteners, SANDING: _sanding}
    lines = [line for kind in order(done) if kind in works for line in works[kind](done)]
    faces = {row.id: row.part for _, result in done.every(SANDING) for row in result.rows}
    return [_line(*line, speaker) | _face(line[0], faces, speaker) for line in lines] + [*_pace(done, speaker)]


def total(lines: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """Return the person-hours of all lines: the sum of their means."""
    mine = [line["time"]["mean"] for line in lines if line["scope"] == "person-hours"]
    return {"person_hours": {"mean": float(f"{math.fsum(mine):.9g}"), "unit": "h"}} if mine else {}


def _line(id: str, step: str, work: str, components: Sequence[str], time: Number, speaker: Speaker) -> dict[str, Any]:
    return {
        "id": id,
        "step": step,
        "label": speaker.word("work", work),
        "scope": "person-hours",
        "components": [*components],
        "time": _time(time),
    }


def _face(id: str, faces: Mapping[str, str], speaker: Speaker) -> dict[str, Any]:
    """Return the face that a line is for, where it is one: a floor has its boards, its edge and its board ends."""
    return {"face": id, "face_label": speaker.word("part", faces[id])} if id in faces else {}


def _time(time: Number) -> dict[str, Any]:
    ends = {"value": spread.value(time), "low": spread.low(time), "high": spread.high(time)}
    kept = ends if isinstance(time, spread.Uncertain) else {"value": ends["value"]}
    shown = {name: float(f"{end / _HOUR:.9g}") for name, end in ({"mean": spread.mean(time)} | kept).items()}
    return shown | {"unit": "h"}


Line = tuple[str, str, str, Sequence[str], Number]


def _masking(done: Done) -> Iterator[Line]:
    for task, result in done.every(MASKING):
        yield "masking", task.id, "masking", [*dict.fromkeys(task.parts.values())], result.time


def _route(done: Done) -> Iterator[Line]:
    """Yield what a route does that no other step gives hours for, where it is planned: washing, for one."""
    for task, result in done.every(PREPARATION):
        row, zone = chosen_of(result), next(iter(task.parts.values()))
        washed = done.one(WASH, zone)
        if row is None or zone in done.stops or washed is None or washed.verdict != "go":
            continue
        for step in row.steps:
            if step.does not in _ELSEWHERE and step.work_time is not None:
                yield f"{zone}-{step.id}", task.id, step.does, [zone], step.work_time


def _fasteners(done: Done) -> Iterator[Line]:
    for task, result in done.every(FASTENERS):
        yield from ((f"{row.id}-fasteners", task.id, "fasteners", [row.id], row.time) for row in result.zones)


def _sanding(done: Done) -> Iterator[Line]:
    for task, result in done.every(SANDING):
        for row in result.rows:
            if row.time is not None:
                owner = of_face(row.part, row.item)
                yield row.id, task.id, "sand", [row.zone if owner is None else done.components[owner].id], row.time
        floors = [row.id for row in result.floors]
        for gap in result.gaps:
            works = {"cleaning_time": "gap-cleaning", "time": f"gap-{gap.id}", "full_depth_time": "gap-full-depth"}
            for name, work in works.items():
                if (time := getattr(gap, name)) is not None:
                    yield f"gaps-{gap.id}-{name.replace('_', '-')}", task.id, work, floors, time
        if result.vacuum_time is not None:
            yield "vacuum", task.id, "vacuum", floors, result.vacuum_time


def _pace(done: Done, speaker: Speaker) -> Iterator[dict[str, Any]]:
    """Yield how long the crew is at its coats by the clock: hours that pass, not hours of one person."""
    crew = done.job.crew
    people = 0 if crew is None else crew.appliers + (crew.wipers or 0) + (crew.cutters or 0)
    for task, result in done.every(CADENCE):
        if result.duration is not None:
            line = _line(task.id, task.id, "coat", [*dict.fromkeys(task.parts.values())], result.duration, speaker)
            yield line | {"scope": "elapsed", "people": people}
