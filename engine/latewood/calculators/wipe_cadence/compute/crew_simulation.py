"""A crew at work on one segment, course by course: a clock that runs, not a formula.

One who lays and wipes lays a whole band, turns, and wipes it. Where others wipe, they follow: the next band is begun
at once, but never are more courses wet than can be reached across. Wiping follows the order of laying. It is due when
the first stroke on what is left of a band, an edge that was cut in too, has been wet for the earliest time; a course
is late when its own first stroke has been wet for the longest. Times in s.
"""

from __future__ import annotations

import math
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
class Tasks:
    """What each course of a segment takes its people, s: to cut in, to lay, to lay again with its edges, to wipe."""

    cut: tuple[float, ...]
    lay: tuple[float, ...]
    again: tuple[float, ...]
    wipe: tuple[float, ...]


def tasks(segment: RunSegment, crew: Crew, rates: WorkRates) -> Tasks:
    """Return what each course of a segment takes; most courses are alike, and each kind is worked out once."""
    kinds = {(course.length, course.pitch, course.edge): course for course in segment.courses}
    found = {kind: _task(course, crew, rates) for kind, course in kinds.items()}
    taken = [found[course.length, course.pitch, course.edge] for course in segment.courses]
    return Tasks(*zip(*taken, strict=True))


def _task(course: Course, crew: Crew, rates: WorkRates) -> tuple[float, float, float, float]:
    lay = course.area / (crew.appliers * rates.lay)
    if rates.gap is not None:
        lay += course.length / (crew.appliers * rates.gap)
    cut = course.edge / (crew.cutting * rates.cut)
    again = lay + course.edge / (crew.appliers * rates.cut)
    return cut, lay, again, course.area / (crew.wiping * rates.wipe)


class _Clock:
    """Where everybody is.

    It runs thousands of times a request: lists by course, names of the loop, and few calls in it.
    """

    def __init__(self, tasks: Tasks, crew: Crew, turn: float, wipe: Window, second: Window | None) -> None:
        self.tasks, self.crew, self.turn, self.wipe, self.second = tasks, crew, turn, wipe, second
        count = len(tasks.lay)
        self.appliers = self.cutters = self.wipers = 0.0
        self.cut_from, self.cut_to = [0.0] * count, [0.0] * count
        self.first, self.laid, self.slack = [0.0] * count, [0.0] * count, [float("inf")] * count
        self.begins, self.wiping, self.wiped = [0.0] * count, [0.0] * count, [0.0] * count
        self.late = False

    def cut_in(self, band: range, not_before: float) -> None:
        """Brush the edges of a band: those who only do that, or the appliers before they go on."""
        cut, cut_from, cut_to = self.tasks.cut, self.cut_from, self.cut_to
        now = max(self.cutters, not_before) if self.crew.cutters else self.appliers
        for place in band:
            cut_from[place] = now
            now += cut[place]
            cut_to[place] = now
        if self.crew.cutters:
            self.cutters = now
        else:
            self.appliers = now

    def come_to(self, band: range, most_wet: int) -> None:
        """Wait until a band may be begun: all of it within reach, if its clock runs before its field is laid."""
        place = band.stop - 1
        if place < most_wet:
            return
        if place > band.start and self.second is None and not any(self.tasks.cut[band.start : band.stop]):
            place = band.start
        # A course may be laid once so many before it are wiped that one reaches across the rest.
        if place >= most_wet and self.wiped[place - most_wet] > self.appliers:
            self.appliers = self.wiped[place - most_wet]

    def lay(self, band: range, most_wet: int) -> None:
        """Lay the first coat, or the only one."""
        cut, lay, cut_from, cut_to = self.tasks.cut, self.tasks.lay, self.cut_from, self.cut_to
        begins, first, laid, wiped, now = self.begins, self.first, self.laid, self.wiped, self.appliers
        for place in band:
            if cut_to[place] > now:
                now = cut_to[place]
            if place >= most_wet and wiped[place - most_wet] > now:
                now = wiped[place - most_wet]
            begins[place] = first[place] = cut_from[place] if cut[place] > 0 else now
            now += lay[place]
            laid[place] = now
        self.appliers = now

    def lay_again(self, band: range, second: Window) -> None:
        """Lay the second coat on the wet first, edges with it; the wait for the cloth begins anew."""
        self.appliers += self.turn
        for place in band:
            now = max(self.appliers, self.first[place] + second.due)
            self.appliers = self.laid[place] = now + self.tasks.again[place]
            self.slack[place] = self.first[place] + second.by - self.laid[place]
            self.first[place] = now

    def wipe_off(self, band: range) -> None:
        """Wipe in the order of laying, from when the oldest wood left is due, or a course would be late."""
        if not self.crew.wipers:
            self.wipers = self.appliers + self.turn
        wipe, first, laid, slack, now = self.tasks.wipe, self.first, self.laid, self.slack, self.wipers
        wiping, wiped, due_after, by_after = self.wiping, self.wiped, self.wipe.due, self.wipe.by
        # Of each course the oldest first stroke on it or on what comes after it.
        oldest = [*accumulate(reversed(first[band.start : band.stop]), min)] if len(band) > 1 else [first[band.start]]
        for place in band:
            by = first[place] + by_after
            due, latest = oldest.pop() + due_after, by - wipe[place]
            if latest < due:
                due = latest
            if laid[place] > now:
                now = laid[place]
            if due > now:
                now = due
            wiping[place] = now
            now += wipe[place]
            wiped[place] = now
            if by - now < slack[place]:
                slack[place] = by - now
            if slack[place] < -EXACT:
                self.late = True
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
        return tuple(map(self.clock.timing, range(len(self.clock.laid))))


def simulate(
    tasks: Tasks,
    sizes: Sequence[int],
    most_wet: int,
    crew: Crew,
    turn: float,
    wipe: Window,
    second: Window | None,
    ahead: int,
    to_end: bool = False,
    longest: float = math.inf,
    left: Sequence[float] = (),
) -> Simulated | None:
    """Work the courses of a segment in bands of these sizes, with never more than ``most_wet`` wet; no band is larger.

    ``ahead`` is by how many bands cutting in runs ahead of the field. None where a course is late, unless it is gone on
    with to the end; and where it surely takes longer than ``longest`` (s), by what is ``left`` after each course.
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
        fields.append(max(clock.appliers, clock.cut_to[band.start]))
        clock.lay(band, most_wet)
        if second is not None:
            clock.lay_again(band, second)
        clock.wipe_off(band)
        if clock.late and not to_end:
            return None
        if left and clock.appliers + left[band.stop] > longest:
            return None
    return Simulated(tuple(sizes), clock)


def least(tasks: Tasks, crew: Crew, second: Window | None) -> float:
    """Return the time (s) that a segment takes at least: with no wait and no turn, whatever its bands."""
    return max(left_of(tasks, crew, second, not crew.cutters)[0], math.fsum(tasks.wipe))


def left_of(tasks: Tasks, crew: Crew, second: Window | None, cut_in: bool) -> list[float]:
    """Return the least that the appliers have still to do once so many courses are done, s: no wait and no turn.

    ``cut_in`` says that the edges of what is left are theirs, and not brushed already.
    """
    own = [tasks.lay]
    if second is not None:
        own.append(tasks.again)
    if cut_in:
        own.append(tasks.cut)
    if not crew.wipers:
        own.append(tasks.wipe)
    each = [math.fsum(times) for times in zip(*own, strict=True)]
    return [*accumulate(reversed(each), initial=0.0)][::-1]
