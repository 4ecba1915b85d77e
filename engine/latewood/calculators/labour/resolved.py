"""The work of a job with its paces."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from latewood.calculators.labour.inputs import WorksOn
from latewood.records.rate import CountedBy
from latewood.uncertainty.spread import Number

By = CountedBy | Literal["guesses"]


@dataclass(frozen=True, kw_only=True)
class Work:
    """A task with its quantity and pace, or its hours as they were told."""

    id: str
    works_on: WorksOn
    lays_coating: bool = False
    #: What it is counted by: area, length, count or occasions; guesses and hours where no pace is known.
    by: By
    quantity: float = 0.0
    pace: Number = 0.0
    guesses: tuple[float, float, float] = (0.0, 0.0, 0.0)
    actual: float | None = None


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """All work of the job and how far its tasks move together."""

    works: tuple[Work, ...]
    correlation: float
