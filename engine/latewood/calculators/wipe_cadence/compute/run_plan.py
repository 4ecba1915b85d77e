"""The bands of every segment, one after another."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import accumulate
from typing import Final

from latewood.calculators.wipe_cadence.compute.choose import Chosen, Setting, choose
from latewood.calculators.wipe_cadence.compute.crew_simulation import CourseTiming, Simulated, least, simulate, tasks
from latewood.calculators.wipe_cadence.compute.run_segments import RunSegment, segments_of
from latewood.calculators.wipe_cadence.fields import CadenceRun, Verdict

#: Verdicts from the best to the worst.
ORDER: Final[tuple[Verdict, ...]] = ("yes", "at-risk", "no")


@dataclass(frozen=True)
class SegmentPlan:
    """A segment with its bands, and when it begins (s)."""

    segment: RunSegment
    chosen: Chosen
    starts: float


@dataclass(frozen=True)
class RunPlan:
    """All segments, one after another: the next is begun when the last is wiped, so that nothing is wet behind."""

    segments: tuple[SegmentPlan, ...]
    verdict: Verdict
    duration: float

    @property
    def narrowest(self) -> int:
        """Courses of a band in the run where it is narrowest; 0 where one cannot be done."""
        return min(max(part.chosen.bands, default=0) for part in self.segments)

    @property
    def least_dwell(self) -> float:
        """Shortest time (s) from laying a field to having wiped it."""
        return min(timing.wiped - timing.laid for timing in self.timings)

    @property
    def most_dwell(self) -> float:
        """Longest time (s) from a first stroke to having wiped it."""
        return max(timing.wiped - timing.first for timing in self.timings)

    @property
    def timings(self) -> list[CourseTiming]:
        """What happens to each course that is planned."""
        return [
            timing
            for part in self.segments
            if part.chosen.simulated is not None
            for timing in part.chosen.simulated.timings
        ]


def plan(runs: Iterable[CadenceRun], setting: Setting) -> RunPlan:
    """Go over every run."""
    way = [segment for run in runs for segment in segments_of(run)]
    return _in_order([(segment, choose(segment, setting)) for segment in way], setting)


def plan_within(runs: Iterable[CadenceRun], setting: Setting, longest: float) -> RunPlan | None:
    """Go over every run; None where that takes longer than ``longest`` (s), or cannot be in time."""
    way = [segment for run in runs for segment in segments_of(run)]
    crew, turn = setting.crew, setting.typical.turn
    shortest = [least(tasks(segment, crew, setting.typical), crew, setting.second) for segment in way]
    # What the segments after one take at least, with the turns between.
    after = [*accumulate((time + turn for time in reversed(shortest[1:])), initial=0.0)][::-1]
    found, now = [], 0.0
    for segment, later in zip(way, after, strict=True):
        chosen = choose(segment, setting, longest - now - later)
        if chosen.simulated is None:
            return None
        found.append((segment, chosen))
        now += chosen.simulated.duration + turn
    return _in_order(found, setting)


def _in_order(chosen: Iterable[tuple[RunSegment, Chosen]], setting: Setting) -> RunPlan:
    segments, now = [], 0.0
    for segment, one in chosen:
        segments.append(SegmentPlan(segment, one, now))
        if one.simulated is not None:
            now += one.simulated.duration + setting.typical.turn
    verdict = max((part.chosen.verdict for part in segments), key=ORDER.index)
    return RunPlan(tuple(segments), verdict, now - setting.typical.turn)


def slow_duration(found: RunPlan, setting: Setting) -> float:
    """Return how long the same bands take a slow crew."""
    total = -setting.slow.turn
    for part in found.segments:
        if part.chosen.simulated is not None:
            total += _slow(part, part.chosen.simulated, setting).duration + setting.slow.turn
    return total


def _slow(part: SegmentPlan, typical: Simulated, setting: Setting) -> Simulated:
    crew, slow = setting.crew, setting.slow
    args = typical.sizes, part.chosen.wet, crew, slow.turn, setting.wipe, setting.second, setting.ahead
    return simulate(tasks(part.segment, crew, slow), *args, to_end=True) or typical
