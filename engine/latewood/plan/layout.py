"""Where each zone of a job is drawn, and how large: zones of one drawing together, levels over one another apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from latewood.calculators import area
from latewood.calculators.area.compute.floor import Floor
from latewood.calculators.area.compute.measure import Measures
from latewood.calculators.area.fields import EdgeWork
from latewood.calculators.area.resolve.shapes import overlap
from latewood.calculators.area.resolved import Region

#: Room between drawings that have no place beside one another, as a share of the larger, but at least this (m).
APART, LEAST_APART = 0.05, 1.0
#: The longer side of a picture, and what a long one may grow to so that its shorter side is still seen, in pixels.
SIDE, SHORTER, LONGEST = 900, 300, 6000

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Placed:
    """A zone where it is drawn: moved by so much from where it lies in its own drawing (m)."""

    region: Region
    edges: EdgeWork
    floor: Floor | None
    dx: float
    dy: float
    holes: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True)
class Layout:
    """The zones as placed, and the size of a pixel of the picture in metres."""

    placed: tuple[Placed, ...]
    pixel: float
    levels_apart: bool


def lay_out(x: area.Inputs, found: Sequence[Region], done: Measures) -> Layout:
    """Put each drawing beside the last; zones drawn from one corner stay together."""
    floors = {floor.region.id: floor for floor in done.floors}
    edges = {zone.id: zone.edges or EdgeWork() for zone in x.zones}
    holes = {zone.id: tuple(hole.points for hole in zone.holes) for zone in x.zones}
    drawings, apart = _drawings(x, found)
    placed, at = [], 0.0
    for members in drawings:
        left, low, right, high = _bounds(corner for region in members for corner in region.corners)
        dx, dy = at - left, -low
        at += right - left + max(LEAST_APART, APART * max(right - left, high - low))
        placed += [Placed(r, edges[r.id], floors.get(r.id), dx, dy, holes[r.id]) for r in members]
    left, low, right, high = extent(placed)
    long, short = max(right - left, high - low), min(right - left, high - low)
    pixel = max(long / LONGEST, min(long / SIDE, short / SHORTER))
    return Layout(tuple(placed), pixel, apart)


def extent(placed: Sequence[Placed]) -> Box:
    """Return left, low, right and high of all that is drawn."""
    corners = [(x + one.dx, y + one.dy) for one in placed for x, y in one.region.corners]
    return _bounds(corners or [(0.0, 0.0), (1.0, 1.0)])


def _bounds(points: Iterable[tuple[float, float]]) -> Box:
    xs, ys = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _drawings(x: area.Inputs, found: Sequence[Region]) -> tuple[list[list[Region]], bool]:
    """Sort the zones that have a place into drawings, and say whether levels that lie over one another came apart."""
    levels = _levels(x)
    drawings: list[list[Region]] = []
    apart = False
    frames: dict[str, list[Region]] = {}
    for region in found:
        if region.frame is not None:
            frames.setdefault(region.frame, []).append(region)
    for members in frames.values():
        if not any(_hides(one, other, levels) for one, other in combinations(members, 2)):
            drawings.append(members)
            continue
        apart = True
        heights = sorted({levels[region.id] for region in members})
        drawings += [[region for region in members if levels[region.id] == height] for height in heights]
    return drawings, apart


def _levels(x: area.Inputs) -> Mapping[str, float]:
    """Return the level of each zone's drawing: that of the zone it is in the end a part of."""
    by_id = {zone.id: zone for zone in x.zones}
    found = {}
    for zone in x.zones:
        top = zone
        while top.part_of is not None:
            top = by_id[top.part_of]
        found[zone.id] = top.level or 0.0
    return found


def _hides(one: Region, other: Region, levels: Mapping[str, float]) -> bool:
    if one.own is None or other.own is None or levels[one.id] == levels[other.id]:
        return False
    return overlap(one.own, other.own)
