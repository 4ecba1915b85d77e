"""A crew at work on one segment, course by course: a clock that runs, not a formula.

One who lays and wipes lays a whole band, turns, and wipes it. Where others wipe, they follow: the next band is begun
at once, but never are more courses wet than can be reached across. Wiping follows the order of laying. It is due when
the first stroke on what is left of a band, an edge that was cut in too, has been wet for the earliest time; a course
is late when its own first stroke has been wet for the longest. Times in s.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate

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


def tasks(segment: RunSegment, crew: Crew, rates: WorkRates) -> tuple[Task, ...]:
    """Return what each course of a segment takes; most courses are alike, and each kind is worked out once."""
    kinds = {(course.length, course.pitch, course.edge): course for course in segment.courses}
    found = {kind: task(course, crew, rates) for kind, course in kinds.items()}
    return tuple(found[course.length, course.pitch, course.edge] for course in segment.courses)


class _Clock:
    """Where everybody is."""

    def __init__(self, tasks: Sequence[Task], crew: Crew, turn: float, wipe: Window, second: Window | None) -> None:
        self.tasks, self.crew, self.turn, self.wipe, self.second = tasks, crew, turn, wipe, second
        count = len(tasks)
        self.appliers = self.cutters = self.wipers = 0.0
        self.cut: list[tuple[float, float]] = [(0.0, 0.0)] * count
        self.first, self.laid, self.slack = [0.0] * count, [0.0] * count, [float("inf")] * count
        self.begins, self.wiping, self.wiped = [0.0] * count, [0.0] * count, [0.0] * count

    def cut_in(self, band: range, not_before: float) -> None:
        """Brush the edges of a band: those who only do that, or the appliers before they go on."""
        now = max(self.cutters, not_before) if self.crew.cutters else self.appliers
        for place in band:
            done = now + self.tasks[place].cut
            self.cut[place] = now, done
            now = done
        if self.crew.cutters:
            self.cutters = now
        else:
            self.appliers = now

    def come_to(self, band: range, most_wet: int) -> None:
        """Wait until a band may be begun: all of it within reach, if its clock runs before its field is laid."""
        runs_early = self.second is not None or any(self.tasks[place].cut > 0 for place in band)
        self.appliers = max(self.appliers, self.release(band[-1] if runs_early else band[0], most_wet))

    def release(self, place: int, most_wet: int) -> float:
        """Return when a course may be laid: once so many before it are wiped that one reaches across the rest."""
        return self.wiped[place - most_wet] if place >= most_wet else 0.0

    def lay(self, band: range, most_wet: int) -> None:
        """Lay the first coat, or the only one."""
        # Thousands of times a request: names of the loop, and no calls in it.
        tasks, cuts, wiped, now = self.tasks, self.cut, self.wiped, self.appliers
        for place in band:
            begun, cut = cuts[place]
            if cut > now:
                now = cut
            if place >= most_wet and wiped[place - most_wet] > now:
                now = wiped[place - most_wet]
            self.begins[place] = self.first[place] = begun if tasks[place].cut > 0 else now
            now += tasks[place].lay
            self.laid[place] = now
        self.appliers = now

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
        tasks, first, laid, slack, now = self.tasks, self.first, self.laid, self.slack, self.wipers
        due_after, by_after = self.wipe.due, self.wipe.by
        # Of each course the oldest first stroke on it or on what comes after it.
        oldest = [*accumulate((first[place] for place in reversed(band)), min)]
        for place in band:
            takes, by = tasks[place].wipe, first[place] + by_after
            due = min(oldest.pop() + due_after, by - takes)
            now = max(now, laid[place], due)
            self.wiping[place] = now
            now += takes
            self.wiped[place] = now
            slack[place] = min(slack[place], by - now)
        self.wipers = now
        if not self.crew.wipers:
            self.appliers = now + self.turn

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


@dataclass(frozen=True)
class Simulated:
    """A segment as it was worked: its bands and, asked for by the few that are chosen, its timings."""

    sizes: tuple[int, ...]
    clock: _Clock

    @property
    def duration(self) -> float:
        """From the first stroke to the last cloth."""
        return max(self.clock.wiped)

    @cached_property
    def timings(self) -> tuple[CourseTiming, ...]:
        """What happened to each course."""
        return tuple(map(self.clock.timing, range(len(self.clock.tasks))))


def simulate(
    tasks: Sequence[Task],
    sizes: Sequence[int],
    most_wet: int,
    crew: Crew,
    turn: float,
    wipe: Window,
    second: Window | None,
    ahead: int,
    to_end: bool = False,
) -> Simulated | None:
    """Work the courses of a segment in bands of these sizes, with never more than ``most_wet`` wet; no band is larger.

    ``ahead`` is by how many bands cutting in runs ahead of the field. None where a course is late, unless it is gone on
    with to the end.
    """
    clock = _Clock(tasks, crew, turn, wipe, second)
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
    return Simulated(tuple(sizes), clock)
