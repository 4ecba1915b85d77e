"""Shapes of zones as drawn: each one sound, its holes inside it and apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING, Protocol

from latewood.outline import Outline
from latewood.problems import Fault

if TYPE_CHECKING:
    from shapely import Polygon

#: Two edges this near are the same edge: outlines are measured with a tape and rounded. In metres.
TOLERANCE = 0.002


class Zone(Protocol):
    """What a zone says of its shape."""

    @property
    def id(self) -> str: ...
    @property
    def part_of(self) -> str | None: ...
    @property
    def length(self) -> float | None: ...
    @property
    def width(self) -> float | None: ...
    @property
    def outline(self) -> Outline | None: ...
    @property
    def holes(self) -> Sequence[Outline]: ...
    @property
    def area(self) -> float | None: ...


@dataclass
class Shape:
    """A zone and what it encloses, its holes apart."""

    at: str
    zone: Zone
    polygon: Polygon
    cut: list[Polygon] = field(default_factory=list)

    @property
    def placed(self) -> bool:
        """A zone known by its area alone has no place, nor has a rectangle that is part of another zone."""
        return self.zone.outline is not None or (self.zone.part_of is None and self.zone.area is None)


def shape_of(zone: Zone, at: str, faults: list[Fault]) -> Shape | None:
    """Return one zone's shape, or None after noting what is wrong with it."""
    from shapely import Polygon

    sides = zone.length is not None, zone.width is not None
    forms = (zone.outline is not None) + any(sides) + (zone.area is not None)
    if forms != 1 or (any(sides) and not all(sides)):
        form = "either an outline, or length and width, or area"
        faults.append(
            Fault(pointer=at or "/length", code="conflict", detail="the zone has no single form", expected=form)
        )
        return None
    if zone.area is not None:
        if zone.holes:
            detail = "a zone known by its area alone has no holes: it is what is left without them"
            faults.append(Fault(pointer=f"{at}/holes", code="conflict", detail=detail, expected="no holes"))
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
            faults += inside(cut, shape.polygon, f"{at}/holes/{index}", "the hole", f"zone {zone.id}")
            shape.cut.append(cut)
    for (i, one), (j, other) in combinations(enumerate(shape.cut), 2):
        if overlap(one, other):
            detail = f"this hole overlaps hole {i}"
            faults.append(Fault(pointer=f"{at}/holes/{j}", code="conflict", detail=detail, expected="separate holes"))
    return shape


def _polygon(outline: Outline, at: str, faults: list[Fault]) -> Polygon | None:
    """Return an outline as a polygon, or None after noting why it encloses no single area."""
    from shapely import MultiPoint, Polygon, is_valid_reason

    expected = "corner points in order around the area, none of its edges crossing another"
    if MultiPoint(outline.points).convex_hull.area < TOLERANCE**2:
        faults.append(Fault(pointer=at, code="conflict", detail="the outline encloses no area", expected=expected))
        return None
    polygon = Polygon(outline.points)
    if not polygon.is_valid:
        reason = is_valid_reason(polygon).lower()
        detail = f"the outline crosses or touches itself ({reason}, in metres)"
        faults.append(Fault(pointer=at, code="conflict", detail=detail, expected=expected))
        return None
    return polygon


def place(shape: Shape) -> str:
    """Return where the outline of a zone stands."""
    return f"{shape.at}/outline"


def inside(part: Polygon, whole: Polygon, at: str, what: str, of: str) -> Iterator[Fault]:
    """Find a shape that reaches outside another by more than the tolerance."""
    if not whole.buffer(TOLERANCE).covers(part):
        detail = f"{what} reaches outside {of}"
        yield Fault(pointer=at, code="conflict", detail=detail, expected=f"an outline inside {of}")


def overlap(one: Polygon, other: Polygon) -> bool:
    """Say whether two shapes overlap by more than a strip as thin as the tolerance."""
    return not one.intersection(other).buffer(-TOLERANCE / 2).is_empty
