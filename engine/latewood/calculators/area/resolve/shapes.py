"""Shapes of zones as drawn: each one sound, its holes inside it and apart."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING

from latewood.calculators.area.fields import AreaZone
from latewood.calculators.area.resolved import TOLERANCE
from latewood.messages import Code, Count, Length, Name, refusal
from latewood.problems import Fault
from latewood.quantities import units
from latewood.quantities.outline import Outline

if TYPE_CHECKING:
    from shapely import Polygon
    from shapely.geometry.base import BaseGeometry

#: The longest floor, and how far from the origin it may be drawn (m): maps count from hundreds of kilometres away, and
#: beyond ten thousand a coordinate is no longer good to a hundredth of a millimetre.
LONGEST, FARTHEST = 1e4, 1e7
#: A corner that sticks out of a floor by a sliver thinner than the tolerance and longer than this (m) is a slip. An
#: angle of less than half a degree would look the same, and none is built.
SPIKE = 0.3


@dataclass
class Shape:
    """A zone and what it encloses, its holes apart."""

    at: str
    zone: AreaZone
    polygon: Polygon
    cut: list[Polygon] = field(default_factory=list)

    @property
    def placed(self) -> bool:
        """A zone known by its area alone has no place, nor has a rectangle that is part of another zone."""
        return self.zone.outline is not None or (self.zone.part_of is None and self.zone.area is None)


def shape_of(zone: AreaZone, at: str, faults: list[Fault]) -> Shape | None:
    """Return one zone's shape, or None after noting what is wrong with it."""
    from shapely import Polygon

    sides = zone.length is not None, zone.width is not None
    forms = (zone.outline is not None) + any(sides) + (zone.area is not None)
    if forms != 1 or (any(sides) and not all(sides)):
        faults.append(refusal("zone-of-no-form", at or "/length"))
        return None
    if zone.area is not None:
        if zone.holes:
            faults.append(refusal("holes-of-area", f"{at}/holes"))
        # Any shape of this area will do: it is never asked for a length or a place.
        side = zone.area**0.5
        return Shape(at, zone, Polygon([(0, 0), (side, 0), (side, side), (0, side)]))
    if zone.outline is None:
        length, width = zone.length or 0.0, zone.width or 0.0
        shape = Shape(at, zone, Polygon([(0, 0), (length, 0), (length, width), (0, width)]))
    else:
        outline = _polygon(zone.outline, f"{at}/outline", faults)
        if outline is None:
            return None
        shape = Shape(at, zone, outline)
    for index, hole in enumerate(zone.holes):
        cut = _polygon(hole, f"{at}/holes/{index}", faults)
        if cut is not None:
            if not inside(cut, shape.polygon):
                faults.append(refusal("hole-outside-zone", f"{at}/holes/{index}", zone=Name(zone.id)))
            shape.cut.append(cut)
    for (i, one), (j, other) in combinations(enumerate(shape.cut), 2):
        if overlap(one, other):
            faults.append(refusal("holes-overlap", f"{at}/holes/{j}", hole=Count(i)))
    if shape.cut and sum(hole.area for hole in shape.cut) >= shape.polygon.area * (1 - 1e-9):
        faults.append(refusal("holes-leave-nothing", f"{at}/holes"))
    return shape


def _polygon(outline: Outline, at: str, faults: list[Fault]) -> Polygon | None:
    """Return an outline as a polygon, or None after noting why it encloses no single area."""
    from shapely import Polygon

    polygon = Polygon(_once(outline.points))
    wrong = _out_of_reach(outline, at) or _slip(polygon, outline, at)
    if wrong is not None:
        faults.append(wrong)
        return None
    return polygon


def _out_of_reach(outline: Outline, at: str) -> Fault | None:
    """Find an outline that is too large to be a floor, or lies where coordinates are no longer exact."""
    reach = max(abs(value) for point in outline.points for value in point)
    size = max(max(axis) - min(axis) for axis in zip(*outline.points, strict=True))
    if reach > FARTHEST:
        return refusal("outline-too-far", at, farthest=Length(FARTHEST))
    return refusal("outline-too-long", at, longest=Length(LONGEST)) if size > LONGEST else None


def _slip(polygon: Polygon, outline: Outline, at: str) -> Fault | None:
    """Find an outline that encloses nothing, crosses itself, or runs out and back along one line."""
    from shapely import MultiPoint, distance, is_valid_reason, points

    if MultiPoint(outline.points).convex_hull.area < TOLERANCE**2:
        return refusal("outline-of-no-area", at)
    if not polygon.is_valid:
        point = _where(is_valid_reason(polygon), outline.unit)
        if point is None:
            return refusal("outline-crosses-itself", at)
        return refusal("outline-crosses-itself-near", at, point=Code(point))
    half = TOLERANCE / 2
    body = polygon.buffer(-half, join_style="mitre").buffer(half, join_style="mitre")
    if body.is_empty:
        return refusal("outline-too-thin", at)
    away = distance(body, points(outline.points))
    far = [corner for corner, apart in zip(outline.points, away, strict=True) if apart > SPIKE]
    return refusal("outline-of-spike", at, point=Code(_said(far[0], outline.unit))) if far else None


def _once(points: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    """Return corner points without those that repeat the one before, and without the first one said again."""
    return [point for place, point in enumerate(points) if point != points[place - 1]]


def _where(reason: str, unit: str) -> str | None:
    """Return the place that the reason of the geometry library names in metres, in the unit of the outline."""
    found = re.search(r"\[(\S+) (\S+)\]", reason)
    return None if found is None else _said((float(found[1]), float(found[2])), unit)


def _said(point: tuple[float, ...], unit: str) -> str:
    return " ".join(f"{units.show(value, unit, 'length'):.6g}" for value in point[:2]) + f" {unit}"


def place(shape: Shape) -> str:
    """Return where the outline of a zone stands."""
    return f"{shape.at}/outline"


def inside(part: Polygon, whole: Polygon) -> bool:
    """Say whether a shape lies inside another, but for the tolerance."""
    return bool(whole.covers(part) or whole.buffer(TOLERANCE).covers(part))


def overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    """Say whether two shapes overlap by more than a strip as thin as the tolerance."""
    return one.intersects(other) and not one.intersection(other).buffer(-TOLERANCE / 2).is_empty
