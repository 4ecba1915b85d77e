"""What labour answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.uncertainty.spread import Number


class TaskTime(msgspec.Struct, frozen=True, kw_only=True):
    """One task of the answer."""

    id: Annotated[str, F("Name of the task")]
    time: Annotated[Number, Q("h", "Work of one person; medians do not add up to that of the whole")]
    mean_time: Annotated[float, Q("h", "Mean; means add up to that of the whole")]
    share: Annotated[float, Q("%", "Share of the mean of the whole")]
    over_mean: Annotated[float, Q("%", "Hours it took, beyond its mean")] | None = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Hours of one person, task by task and in all."""

    time: Annotated[Number, Q("h", "Work of one person in all: P10, P50 and P90 of the sum")]
    time_p80: Annotated[float, Q("h", "Hours that suffice eight times in ten")]
    mean_time: Annotated[float, Q("h", "Mean of the whole, the sum of the means of the tasks")]
    floor_time: Annotated[Number, Q("h", "Work on floors")]
    stair_time: Annotated[Number, Q("h", "Work on stairs")]
    guard_time: Annotated[Number, Q("h", "Work on guards")]
    site_time: Annotated[Number, Q("h", "Work that belongs to no part: set-up, cloths, visits, travel")]
    coating_time: Annotated[Number, Q("h", "Of all of it, laying and wiping coatings")]
    tasks: Annotated[tuple[TaskTime, ...], F("The tasks, then what days and visits add")]
    largest_unknowns: Annotated[tuple[str, ...], F("The tasks that leave most unknown, the first most")]
    actual_time: Annotated[float, Q("h", "Hours of the tasks that are done")] | None = None
    planned_time: Annotated[Number, Q("h", "What was reckoned for the tasks that are done")] | None = None
    not_included: Annotated[tuple[Clause, ...], F("What is not in these hours")]
