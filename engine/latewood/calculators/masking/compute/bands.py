"""The ground beside the open edges of a floor: strips, what fills outer corners, and what inner ones share."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from shapely import Polygon

Point = tuple[float, float]
Side = tuple[Point, Point]

#: A corner reaches this many widths out at most: a sharper one is cut off. Judgement.
_MITRE: Final = 2.0


def open_length(points: Sequence[Point], walls: Container[int]) -> float:
    """Return the length of the sides that are no wall; sides are numbered from 1, the first from the first corner."""
    return math.fsum(math.dist(*side) for number, side in _sides(points) if number not in walls)


def corner_share(points: Sequence[Point], walls: Container[int], width: float) -> float:
    """Return what corners add to strips of a width along the open sides, in squares of it.

    An outer right angle adds one, an inner one takes one off, for two strips share it; strips that meet across a
    recess share more. The ground is counted once, and none under the floor itself.
    """
    from shapely import Polygon, union_all

    floor = Polygon(points)
    ground = union_all(list(_pieces(_wound(points), walls, width))).difference(floor)
    return float((ground.area - open_length(points, walls) * width) / width**2)


def _wound(points: Sequence[Point]) -> list[tuple[int, Side]]:
    """Return the sides with the floor on their left, each with its number."""
    sides = list(_sides(points))
    turned = math.fsum(x * v - u * y for _, ((x, y), (u, v)) in sides)
    return sides if turned > 0 else [(number, (end, start)) for number, (start, end) in reversed(sides)]


def _sides(points: Sequence[Point]) -> Iterator[tuple[int, Side]]:
    return enumerate(pairwise((*points, points[0])), start=1)


def _pieces(sides: Sequence[tuple[int, Side]], walls: Container[int], width: float) -> Iterator[Polygon]:
    """Yield a strip along each open side, and what fills the corner to the next where that turns outward."""
    from shapely import Polygon

    for (number, (start, end)), (other, (_, beyond)) in pairwise((*sides, sides[0])):
        if number in walls or math.dist(start, end) == 0:
            continue
        (ox, oy) = _outward(start, end, width)
        yield Polygon([start, end, (end[0] + ox, end[1] + oy), (start[0] + ox, start[1] + oy)])
        if other in walls or math.dist(end, beyond) == 0:
            continue
        (nx, ny) = _outward(end, beyond, width)
        if ox * ny - oy * nx <= 0:
            continue
        # The two outer lines meet on the bisector, one width from both sides.
        half = math.hypot(ox + nx, oy + ny) / 2
        out = min(width**2 / half, _MITRE * width) if half > 0 else _MITRE * width
        tip = ((ox + nx) * out / (2 * half), (oy + ny) * out / (2 * half)) if half > 0 else (oy * -_MITRE, ox * _MITRE)
        yield Polygon([end, *((end[0] + x, end[1] + y) for x, y in ((ox, oy), tip, (nx, ny)))])


def _outward(start: Point, end: Point, width: float) -> Point:
    """Return the way out across a side that has the floor on its left."""
    length = math.dist(start, end)
    return (end[1] - start[1]) * width / length, (start[0] - end[0]) * width / length
