"""The course over all stretches, one after another."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.calculators.wipe_cadence.choose import Chosen
from latewood.calculators.wipe_cadence.crew_simulation import CourseTiming
from latewood.calculators.wipe_cadence.fields import Verdict
from latewood.calculators.wipe_cadence.run_segments import RunSegment


@dataclass(frozen=True)
class SegmentPlan:
    """A stretch with its rhythm, and when it begins (s)."""

    stretch: RunSegment
    chosen: Chosen
    starts: float


@dataclass(frozen=True)
class RunPlan:
    """All stretches, one after another: the next is begun when the last is wiped, so that nothing is wet behind."""

    legs: tuple[SegmentPlan, ...]
    verdict: Verdict
    duration: float

    @property
    def narrowest(self) -> int:
        """Courses of a band in the run where it is narrowest; 0 where one cannot be done."""
        return min(_width(leg.chosen) for leg in self.legs)

    @property
    def least_dwell(self) -> float:
        """Shortest time (s) from laying a field to having wiped it."""
        return min(beat.wiped - beat.laid for beat in self.beats)

    @property
    def most_dwell(self) -> float:
        """Longest time (s) from a first stroke to having wiped it."""
        return max(beat.wiped - beat.first for beat in self.beats)

    @property
    def beats(self) -> list[CourseTiming]:
        """What happens to each course that is planned."""
        return [beat for leg in self.legs if leg.chosen.played is not None for beat in leg.chosen.played.beats]


def _width(chosen: Chosen) -> int:
    return max(chosen.bands, default=0)
