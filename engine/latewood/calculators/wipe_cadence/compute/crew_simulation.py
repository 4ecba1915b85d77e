"""A crew at work on one segment, course by course: a clock that runs, not a formula.

One who lays and wipes lays a whole band, turns, and wipes it. Where others wipe, they follow: the next band is begun
at once, but never are more courses wet than can be reached across. Wiping follows the order of laying. It is due when
the first stroke on what is left of a band, an edge that was cut in too, has been wet for the earliest time; a course
is late when its own first stroke has been wet for the longest. Times in s.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from latewood.calculators.wipe_cadence.compute.dwell import Window
from latewood.calculators.wipe_cadence.compute.run_segments import Course, RunSegment, slices
from latewood.calculators.wipe_cadence.resolved import Crew

#: What rounding may make of a deadline that is just met, s.
EXACT = 1e-6


@dataclass(frozen=True)
class WorkRates:
    """What one person does in a second: m2, m2, m, and m of gap where gaps are brushed; and the time of turning, s."""

    lay: float
    wipe: float
    cut: float
    gap: float | None
    turn: float


@dataclass(frozen=True)
class CourseTiming:
    """What happened to one course. The first stroke and the deadline are those of its last coat."""

    begins: float
    first: float
    laid: float
    wiping: float
    wiped: float
    by: float
    slack: float


@dataclass(frozen=True)
class Simulated:
    """A segment as it was worked: its bands and its timings."""

    sizes: tuple[int, ...]
    timings: tuple[CourseTiming, ...]

    @property
    def duration(self) -> float:
        """From the first stroke to the last cloth."""
        return max(timing.wiped for timing in self.timings)


@dataclass(frozen=True)
class Task:
    """What a course takes its people."""

    cut: float
    lay: float
    again: float
    wipe: float


def task(course: Course, crew: Crew, rates: WorkRates) -> Task:
    """Return how long each task takes on a course."""
    lay = course.area / (crew.appliers * rates.lay)
    if rates.gap is not None:
        lay += course.length / (crew.appliers * rates.gap)
    return Task(
        cut=course.edge / (crew.cutting * rates.cut),
        lay=lay,
        again=lay + course.edge / (crew.appliers * rates.cut),
        wipe=course.area / (crew.wiping * rates.wipe),
    )


class _Clock:
    """Where everybody is."""

    def __init__(self, segment: RunSegment, crew: Crew, rates: WorkRates, wipe: Window, second: Window | None) -> None:
        self.crew, self.turn, self.wipe, self.second = crew, rates.turn, wipe, second
        self.tasks = [task(course, crew, rates) for course in segment.courses]
        count = len(self.tasks)
        self.appliers = self.cutters = self.wipers = 0.0
        self.cut: list[tuple[float, float]] = [(0.0, 0.0)] * count
        self.first, self.laid, self.slack = [0.0] * count, [0.0] * count, [float("inf")] * count
        self.begins, self.wiping, self.wiped = [0.0] * count, [0.0] * count, [0.0] * count

    def cut_in(self, band: range, not_before: float) -> None:
        """Brush the edges of a band: those who only do that, or the appliers before they go on."""
        for place in band:
            now = max(self.cutters, not_before) if self.crew.cutters else self.appliers
            done = now + self.tasks[place].cut
            self.cut[place] = now, done
            if self.crew.cutters:
                self.cutters = done
            else:
                self.appliers = done

    def come_to(self, band: range, most_wet: int) -> None:
        """Wait until a band may be begun: all of it within reach, if its clock runs before its field is laid."""
        runs_early = self.second is not None or any(self.tasks[place].cut > 0 for place in band)
        self.appliers = max(self.appliers, self.release(band[-1] if runs_early else band[0], most_wet))

    def release(self, place: int, most_wet: int) -> float:
        """Return when a course may be laid: once so many before it are wiped that one reaches across the rest."""
        return self.wiped[place - most_wet] if place >= most_wet else 0.0

    def lay(self, band: range, most_wet: int) -> None:
        """Lay the first coat, or the only one."""
        for place in band:
            begun, cut = self.cut[place]
            now = max(self.appliers, cut, self.release(place, most_wet))
            self.begins[place] = self.first[place] = begun if self.tasks[place].cut > 0 else now
            self.appliers = self.laid[place] = now + self.tasks[place].lay

    def lay_again(self, band: range, second: Window) -> None:
        """Lay the second coat on the wet first, edges with it; the wait for the cloth begins anew."""
        self.appliers += self.turn
        for place in band:
            now = max(self.appliers, self.first[place] + second.due)
            self.appliers = self.laid[place] = now + self.tasks[place].again
            self.slack[place] = self.first[place] + second.by - self.laid[place]
            self.first[place] = now

    def wipe_off(self, band: range) -> None:
        """Wipe in the order of laying, from when the oldest wood left is due, or a course would be late."""
        if not self.crew.wipers:
            self.wipers = self.appliers + self.turn
        oldest = self._oldest(band)
        for place in band:
            takes, by = self.tasks[place].wipe, self.first[place] + self.wipe.by
            due = min(oldest[place - band[0]] + self.wipe.due, by - takes)
            self.wiping[place] = max(self.wipers, self.laid[place], due)
            self.wipers = self.wiped[place] = self.wiping[place] + takes
            self.slack[place] = min(self.slack[place], by - self.wiped[place])
        if not self.crew.wipers:
            self.appliers = self.wipers + self.turn

    def _oldest(self, band: range) -> list[float]:
        """Return, for each course of a band, the oldest first stroke on it or on what comes after it."""
        found: list[float] = []
        for place in reversed(band):
            found.append(min(self.first[place], found[-1] if found else self.first[place]))
        return found[::-1]

    def timing(self, place: int) -> CourseTiming:
        """Return what happened to a course."""
        return CourseTiming(
            begins=self.begins[place],
            first=self.first[place],
            laid=self.laid[place],
            wiping=self.wiping[place],
            wiped=self.wiped[place],
            by=self.first[place] + self.wipe.by,
            slack=self.slack[place],
        )


def simulate(
    segment: RunSegment,
    sizes: Sequence[int],
    most_wet: int,
    crew: Crew,
    rates: WorkRates,
    wipe: Window,
    second: Window | None,
    ahead: int,
    to_end: bool = False,
) -> Simulated | None:
    """Work a segment in bands of these sizes, with never more than ``most_wet`` courses wet; no band is larger.

    ``ahead`` is by how many bands cutting in runs ahead of the field. None where a course is late, unless it is gone on
    with to the end.
    """
    clock = _Clock(segment, crew, rates, wipe, second)
    bands = slices(sizes)
    fields: list[float] = []
    cut = 0
    for place, band in enumerate(bands):
        clock.come_to(band, most_wet)
        # Who only cuts in may begin a band when the field is begun of the one that lies `ahead` before it.
        starts = clock.appliers if not ahead else fields[place - ahead] if place >= ahead else 0.0
        while cut < len(bands) and cut <= place + (0 if crew.cutters else ahead):
            clock.cut_in(bands[cut], starts)
            cut += 1
        fields.append(max(clock.appliers, clock.cut[band[0]][1]))
        clock.lay(band, most_wet)
        if second is not None:
            clock.lay_again(band, second)
        clock.wipe_off(band)
        if not to_end and min(clock.slack[band[0] : band[-1] + 1]) < -EXACT:
            return None
    return Simulated(tuple(sizes), tuple(clock.timing(place) for place in range(len(segment.courses))))
