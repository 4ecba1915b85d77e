"""The sides of outlines that are edge work: their lengths, their corners, and what a part of a zone takes over."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from latewood.calculators.area.boards import EdgeWork
from latewood.calculators.area.regions import Region
from latewood.calculators.area.shapes import TOLERANCE

Point = tuple[float, float]
Line = tuple[Point, Point]


@dataclass(frozen=True)
class TakenOver:
    """Sides and corners that parts of a zone name as their own edge work, so that the zone counts them no more."""

    sides: tuple[Line, ...] = ()
    corners: tuple[Point, ...] = ()


def lines_of(region: Region) -> list[Line]:
    """Return each side of an outline, the first from its first corner to its second."""
    return list(pairwise((*region.corners, *region.corners[:1])))


def named(edges: EdgeWork | None) -> set[int]:
    """Return the numbers of the sides that are edge work."""
    return set() if edges is None else {*edges.wall_sides, *edges.rail_sides}


def taken_over(region: Region, found: Iterable[Region], edges: Mapping[str, EdgeWork | None]) -> TakenOver:
    """Return what the placed parts of a zone, and theirs, name as edge work of their own."""
    sides: list[Line] = []
    corners: list[Point] = []
    for part in found:
        if part.part_of == region.id and part.frame is not None and part.frame == region.frame:
            own = named(edges[part.id])
            sides += [line for side, line in enumerate(lines_of(part), start=1) if side in own]
            corners += inside_corners(part.corners, own)
            below = taken_over(part, found, edges)
            sides += below.sides
            corners += below.corners
    return TakenOver(tuple(sides), tuple(corners))


def side_lengths(region: Region, taken: TakenOver | None = None) -> list[float]:
    """Return the length of each side, without the stretches that parts take over where these are given."""
    others = () if taken is None else taken.sides
    return [_left(side, others) for side in lines_of(region)]


def _left(side: Line, others: Iterable[Line]) -> float:
    """Return how much of a side no other line lies on; a part and its own part may both lie on a stretch."""
    (x, y), (u, v) = side
    long = hypot(u - x, v - y)
    stretches = []
    for other in others:
        along = [((a - x) * (u - x) + (b - y) * (v - y)) / long for a, b in other]
        off = [abs((a - x) * (v - y) - (b - y) * (u - x)) / long for a, b in other]
        if max(off) <= TOLERANCE:
            stretches.append((max(min(along), 0.0), min(max(along), long)))
    left, reached = long, 0.0
    for begin, end in sorted(stretches):
        left -= max(end - max(begin, reached), 0.0)
        reached = max(reached, end)
    return left


def inside_corners(corners: Sequence[Point], sides: set[int]) -> list[Point]:
    """Return the corners of an outline that stick out and have edge work on both sides."""
    count = len(corners)
    turning = sum(x * v - u * y for (x, y), (u, v) in pairwise((*corners, *corners[:1])))
    found = []
    for place, here in enumerate(corners):
        before, after = corners[place - 1], corners[(place + 1) % count]
        bend = (here[0] - before[0]) * (after[1] - here[1]) - (here[1] - before[1]) * (after[0] - here[0])
        # Side n runs from corner n, counted from one: this corner lies between sides `place` and `place` + 1.
        if (place or count) in sides and place + 1 in sides and bend * turning > 0:
            found.append(here)
    return found


def free_corners(region: Region, sides: set[int], taken: TakenOver) -> int:
    """Count the inside corners of a zone that no part has as its own."""
    return sum(
        all(hypot(x - u, y - v) > TOLERANCE for u, v in taken.corners) for x, y in inside_corners(region.corners, sides)
    )
