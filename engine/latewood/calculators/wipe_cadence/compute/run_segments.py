"""The way across a run: which courses in which order, and where each band stops."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate

from latewood.calculators.wipe_cadence.fields import CadenceRun


@dataclass(frozen=True)
class Course:
    """One board of a run, with the edge work along it (m)."""

    number: int
    length: float
    pitch: float
    edge: float

    @property
    def area(self) -> float:
        """Board and gap, in m2."""
        return self.length * self.pitch


@dataclass(frozen=True)
class RunSegment:
    """Courses in the order in which they are laid, and after how many of them a natural break lies."""

    run: str
    courses: tuple[Course, ...]
    breaks: frozenset[int]


def segments_of(run: CadenceRun) -> Iterator[RunSegment]:
    """Yield the way across a run, which ends where one gets off: from both sides, if that is in its middle."""
    last, off = run.courses, run.exit_course or run.courses
    courses = [Course(number, run.course_length, run.pitch, _edge(run, number)) for number in range(1, last + 1)]
    if off == last:
        yield RunSegment(run.id, tuple(courses), frozenset(run.break_after) - {last})
        return
    if off > 1:
        yield RunSegment(run.id, tuple(courses[: off - 1]), frozenset(at for at in run.break_after if at < off - 1))
    back = frozenset(last - at for at in run.break_after if off <= at < last)
    yield RunSegment(run.id, tuple(reversed(courses[off - 1 :])), back)


def _edge(run: CadenceRun, number: int) -> float:
    edge = (run.edge_length or 0.0) / run.courses
    if number == 1:
        edge += run.first_edge or 0.0
    if number == run.courses:
        edge += run.last_edge or 0.0
    return edge


@lru_cache(maxsize=1024)
def split(count: int, most: int, breaks: frozenset[int]) -> tuple[int, ...]:
    """Return the sizes of as few bands as will do, alike as far as they can be, and ending at breaks where they can."""
    bands = -(-count // most)
    sizes, at = [], 0
    for left in range(bands, 0, -1):
        rest = count - at
        least = max(rest - (left - 1) * most, 1)
        even = -(-rest // left)
        ends = [end for end in range(at + least, at + min(most, rest - left + 1) + 1) if end in breaks or left == 1]
        size = min(ends, key=lambda end: (abs(end - at - even), end)) - at if ends else even
        sizes.append(size)
        at += size
    return tuple(sizes)


def slices(sizes: Sequence[int]) -> list[range]:
    """Return the places of each band's courses."""
    ends = [0, *accumulate(sizes)]
    return [*map(range, ends, ends[1:])]
