"""Edge work of a zone: which sides it has, how long it is, and the strip it takes out of the field."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import hypot

from latewood.calculators.area.fields import EdgeWork, Obstacle
from latewood.calculators.area.resolved import TOLERANCE, Region, ResolvedEdges
from latewood.formulas.edges import edge_strip_area, obstacle_edge
from latewood.messages import Length, refusal
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.uncertainty import spread

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


@dataclass(frozen=True)
class Beside:
    """What the guards of a zone bring to its edge work, each length with its clearance, and the girths of posts.

    ``taken`` is what its parts take over.
    """

    rails: tuple[tuple[float, float], ...] = ()
    post_girths: float = 0.0
    taken: TakenOver = field(default_factory=TakenOver)


@dataclass(frozen=True)
class Edge:
    """The edge work of one zone, and the floor its strip covers."""

    length: float
    strip: float


def _sides_of(one: Obstacle) -> float:
    return one.perimeter if one.perimeter is not None else 2 * ((one.length or 0.0) + (one.width or 0.0))


def edge_work(own: ResolvedEdges, region: Region, beside: Beside, pad_width: float, ledger: Ledger) -> Edge | Fault:
    """Return the edge work of one zone, or what is wrong with it."""
    edges = own.work
    lengths = side_lengths(region, beside.taken)
    walls = edges.wall_length or sum(lengths[side - 1] for side in edges.wall_sides)
    rails = _rails(own, lengths, beside)
    open_length = edges.opening_length or 0.0
    if open_length > walls + rails + 1e-9:
        return refusal("openings-too-long", f"{own.at}/opening_length")
    # Openings are mostly in guards; what is left over is taken off the walls.
    walls, rails = walls - max(open_length - rails, 0.0), max(rails - open_length, 0.0)
    obstacles = sum(_sides_of(one) * one.count for one in edges.obstacles)
    obstacles += region.hole_length if own.rims else 0.0
    posts = beside.post_girths if edges.posts is None else edges.posts * own.post_girth
    length = ledger.step(obstacle_edge, region.id, walls=walls, rails=rails, posts=posts, obstacles=obstacles)
    corners = edges.inside_corners
    if corners is None:
        corners = free_corners(region, named(edges), beside.taken)
    strip = ledger.step(
        edge_strip_area,
        region.id,
        obstacle_edge=length,
        pad_width=pad_width,
        corner_overlap=corners * pad_width * pad_width,
    )
    if edges.inside_corners and spread.central(strip) < 0:
        return refusal("corners-overlap", f"{own.at}/inside_corners", pad_width=Length(pad_width))
    return Edge(spread.central(length), max(spread.central(strip), 0.0))


def _rails(own: ResolvedEdges, lengths: Sequence[float], beside: Beside) -> float:
    """Return the length under bottom rails too low for a floor machine."""
    edges = own.work
    if edges.rail_length is not None or edges.rail_sides:
        length = edges.rail_length or sum(lengths[side - 1] for side in edges.rail_sides)
        return 0.0 if edges.rail_clearance is not None and edges.rail_clearance >= own.tool_height else length
    return sum(length for length, clearance in beside.rails if clearance < own.tool_height)
