"""The rhythm of every stretch, one after another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from latewood.calculators.wipe_cadence.compute.choose import Chosen, Setting, choose
from latewood.calculators.wipe_cadence.compute.crew_simulation import CourseTiming, Simulated, simulate
from latewood.calculators.wipe_cadence.compute.run_segments import RunSegment, stretches
from latewood.calculators.wipe_cadence.fields import CadenceRun, Verdict

#: Verdicts from the best to the worst.
ORDER: Final[tuple[Verdict, ...]] = ("yes", "at-risk", "no")


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
        return min(max(leg.chosen.bands, default=0) for leg in self.legs)

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
        return [beat for leg in self.legs if leg.chosen.simulated is not None for beat in leg.chosen.simulated.beats]


def plan(runs: Iterable[CadenceRun], setting: Setting) -> RunPlan:
    """Go over every run."""
    legs, now = [], 0.0
    for run in runs:
        for stretch in stretches(run):
            chosen = choose(stretch, setting)
            legs.append(SegmentPlan(stretch, chosen, now))
            if chosen.simulated is not None:
                now += chosen.simulated.duration + setting.typical.turn
    verdict = max((leg.chosen.verdict for leg in legs), key=ORDER.index)
    return RunPlan(tuple(legs), verdict, now - setting.typical.turn)


def slow_duration(found: RunPlan, setting: Setting) -> float:
    """Return how long the same bands take a slow crew."""
    total = -setting.slow.turn
    for leg in found.legs:
        if leg.chosen.simulated is not None:
            total += _slow(leg, leg.chosen.simulated, setting).duration + setting.slow.turn
    return total


def _slow(leg: SegmentPlan, typical: Simulated, setting: Setting) -> Simulated:
    args = leg.stretch, typical.sizes, leg.chosen.wet, setting.crew, setting.slow, setting.wipe, setting.second
    return simulate(*args, setting.ahead, to_end=True) or typical
