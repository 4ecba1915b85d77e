"""What a job left out and a plan assumed: each once, with what it moves and by how much, the largest first."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from typing import Any, Final

from latewood.messages import Speaker
from latewood.plan.done import Done
from latewood.plan.job import Job
from latewood.plan.kinds import PREPARATION
from latewood.plan.surface_rules import wetted
from latewood.plan.task import Task
from latewood.provenance import Raised
from latewood.wire.structs import hints_of, is_object, unwrap

#: How the id of a finding about a value that was left out begins.
_LEFT_OUT: Final = "default-"
#: Fields that move how wood dries, so nothing on a route that wets nothing.
_DRYING: Final = frozenset({"wetted_depth", "temperature", "relative_humidity", "wind_speed"})
#: Tables of a job that hold what calculators ask by the same name.
_TABLES: Final = ("/surroundings", "/sanding", "/fastening", "/moisture", "/choices", "/crew", "/site", "/defaults")


def is_assumption(raised: Raised) -> bool:
    """Say whether a finding is about a value that was left out: such stand in a list of their own."""
    return raised.id.startswith(_LEFT_OUT)


def assumptions(found: Iterable[Raised], done: Done, tasks: Sequence[Task], speaker: Speaker) -> list[dict[str, Any]]:
    """Return the assumptions of a plan: one of each value that was assumed for a field, with all its parts."""
    by_id = {task.id: task for task in tasks}
    rows: dict[tuple[str, str], dict[str, Any]] = {}
    moves: dict[tuple[str, str], dict[str, float]] = {}
    for raised in found:
        row = _row(raised, by_id.get(raised.step or ""), done, speaker)
        key = row["id"], row["assumed"]
        have = rows.setdefault(key, row | {"components": []})
        have["components"] = [*dict.fromkeys((*have["components"], *raised.places))]
        have["route_taken"] = have["route_taken"] or row["route_taken"]
        if "effect" in row and "output" in row:
            moved = moves.setdefault(key, {})
            moved[row["output"]] = max(moved.get(row["output"], 0.0), row["effect"])
    for key, moved in moves.items():
        most = sorted(moved.items(), key=lambda one: -one[1])
        named = [{**_output(output, speaker), "effect": effect} for output, effect in most]
        rows[key] |= {**named[0], "moves": named}
    return sorted(rows.values(), key=lambda row: (not row["route_taken"], -row.get("effect", 0.0)))


def _row(raised: Raised, task: Task | None, done: Done, speaker: Speaker) -> dict[str, Any]:
    values: Mapping[str, Any] = {**raised.params, **raised.values}
    name = str(values.get("field", raised.id.removeprefix(_LEFT_OUT).replace("-", "_")))
    at = raised.pointer or (task.place(f"/{name.replace('.', '/')}") if task is not None else "")
    field = next((one for one in (at, *(f"{table}/{name}" for table in _TABLES)) if in_job(one)), None)
    row: dict[str, Any] = {"id": raised.id, **({} if field is None else {"field": field})}
    row["label"] = speaker.word("field", str(values.get("label", name)))
    row["assumed"] = speaker.any(values["value"]) if "value" in values else str(values.get("assumed", ""))
    if (output := values.get("output", task and task.kind.calculator)) is not None:
        row |= _output(str(output), speaker)
    if "effect" in values:
        row["effect"] = round(float(values["effect"]), 4)
    return row | {"route_taken": _taken(name, task, done)}


def _output(id: str, speaker: Speaker) -> dict[str, Any]:
    return {"output": id, "output_label": speaker.word("output", id)}


def _taken(name: str, task: Task | None, done: Done) -> bool:
    """Say whether a value moves the route that is taken, not only one that was compared with it."""
    if task is None or task.kind is not PREPARATION or name not in _DRYING:
        return True
    return any(one is task and wetted(result) for one, result in done.every(PREPARATION))


@lru_cache(maxsize=1024)
def in_job(pointer: str) -> bool:
    """Say whether a job has a field where a JSON Pointer stands."""
    struct: Any = Job
    for word in pointer.split("/")[1:]:
        if word.isdigit():
            continue
        hints = hints_of(struct) if struct is not None else {}
        if word not in hints:
            return False
        bare = unwrap(hints[word])[0]
        if typing.get_origin(bare) is tuple:
            bare = unwrap(typing.get_args(bare)[0])[0]
        struct = bare if is_object(bare) else None
    return pointer.startswith("/")
