"""What one route comes to: steps, hours, days."""

from __future__ import annotations

import math
from dataclasses import dataclass

from latewood.calculators.preparation.drying import Drying
from latewood.calculators.preparation.fields import RouteStepTime
from latewood.formulas.workdays import Course
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class RouteEstimate:
    """What one route comes to.

    ``courses`` are its days at P10, P50 and P90; ``prohibition_reason`` says why heads forbid to sand.

    ``washed_after`` is when its last wash is done, s from the first morning, and ``dry`` how long it dries from then;
    None where nothing is wetted.
    """

    steps: tuple[RouteStepTime, ...]
    work_time: Number
    courses: tuple[Course, Course, Course]
    removal: Number
    discs: int
    solution: Number
    mass: Number
    rinse: Number
    sanding: Number
    prohibition_reason: str
    washed_after: float | None
    dry: Drying | None

    @property
    def elapsed(self) -> Number | None:
        """Time until the wood may be coated; None where it never may."""
        low, middle, high = (one.end for one in self.courses)
        if not all(math.isfinite(end) for end in (low, middle, high)):
            return None
        if high - low < 1.0 or low <= 0:
            return middle
        return spread.lognormal(f"input/elapsed/{'-'.join(step.id for step in self.steps)}", low, middle, high)
