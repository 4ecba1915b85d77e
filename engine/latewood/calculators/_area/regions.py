"""Zones as shapes: each one sound, each inside the zone it is part of, none over another."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING, Protocol

from latewood.outline import Outline
from latewood.problems import Fault, InputProblem, nearest

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


@dataclass(frozen=True)
class Region:
    """A zone whose shape is known to be sound. ``sides`` where it was given as a rectangle."""

    id: str
    part_of: str | None
    gross: float
    holes: float
    outline_length: float
    sides: tuple[float, float] | None


@dataclass
class _Shape:
    at: str
    zone: Zone
    polygon: Polygon
    cut: list[Polygon] = field(default_factory=list)

    @property
    def placed(self) -> bool:
        """A rectangle that is part of another zone has a size but no place."""
        return self.zone.outline is not None or self.zone.part_of is None


def regions(zones: Sequence[Zone], at: str) -> tuple[Region, ...]:
    """Return the zones as sound regions; raise `InputProblem` with every fault. ``at`` is where the list stands."""
    places = [f"{at}/{index}" if at else "" for index in range(len(zones))]
    faults = [*_names(zones, places)]
    shapes: dict[str, _Shape] = {}
    for zone, place in zip(zones, places, strict=True):
        shape = _shape(zone, place, faults)
        if shape is not None:
            shapes[zone.id] = shape
    if not faults:
        faults += [*_nesting(list(shapes.values()), shapes)]
    if faults:
        raise InputProblem(faults)
    return tuple(_region(shape) for shape in shapes.values())


def _region(shape: _Shape) -> Region:
    zone = shape.zone
    sides = (zone.length, zone.width) if zone.length is not None and zone.width is not None else None
    holes = sum(hole.area for hole in shape.cut)
    return Region(zone.id, zone.part_of, shape.polygon.area, holes, shape.polygon.exterior.length, sides)


def _names(zones: Sequence[Zone], places: Sequence[str]) -> Iterator[Fault]:
    """Find names used twice, parents that do not exist, and zones that are parts of themselves."""
    parents = {zone.id: zone.part_of for zone in zones}
    seen: set[str] = set()
    for zone, at in zip(zones, places, strict=True):
        if zone.id in seen:
            yield Fault(pointer=f"{at}/id", code="repeated", detail=f"there are two zones named {zone.id}")
        seen.add(zone.id)
        if zone.part_of is None:
            continue
        if zone.part_of not in parents:
            detail = f"there is no zone {zone.part_of}"
            yield Fault(
                pointer=f"{at}/part_of", code="unknown-id", detail=detail, nearest=nearest(zone.part_of, parents)
            )
        elif zone.id in _ancestors(zone.id, parents):
            yield Fault(pointer=f"{at}/part_of", code="conflict", detail=f"zone {zone.id} would be part of itself")


def _ancestors(id: str, parents: dict[str, str | None]) -> set[str]:
    found: set[str] = set()
    parent = parents.get(id)
    while parent is not None and parent not in found:
        found.add(parent)
        parent = parents.get(parent)
    return found


def _shape(zone: Zone, at: str, faults: list[Fault]) -> _Shape | None:
    """Return one zone's shape, or None after noting what is wrong with it."""
    from shapely import Polygon

    sides = zone.length is not None, zone.width is not None
    if (zone.outline is not None) == any(sides) or (any(sides) and not all(sides)):
        form = "either an outline, or length and width"
        faults.append(
            Fault(pointer=at or "/length", code="conflict", detail="the zone has no single form", expected=form)
        )
        return None
    if zone.outline is None:
        length, width = zone.length or 0.0, zone.width or 0.0
        shape = _Shape(at, zone, Polygon([(0, 0), (length, 0), (length, width), (0, width)]))
    else:
        outline = _polygon(zone.outline, f"{at}/outline", faults)
        if outline is None:
            return None
        shape = _Shape(at, zone, outline)
    for index, hole in enumerate(zone.holes):
        cut = _polygon(hole, f"{at}/holes/{index}", faults)
        if cut is not None:
            faults += _inside(cut, shape.polygon, f"{at}/holes/{index}", "the hole", f"zone {zone.id}")
            shape.cut.append(cut)
    for (i, one), (j, other) in combinations(enumerate(shape.cut), 2):
        if _overlap(one, other):
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


def _nesting(shapes: Sequence[_Shape], named: dict[str, _Shape]) -> Iterator[Fault]:
    """Find parts outside their zone, parts over one another and over holes, and more parts than there is room for."""
    for shape in shapes:
        parts = [other for other in shapes if other.zone.part_of == shape.zone.id]
        room = shape.polygon.area - sum(hole.area for hole in shape.cut)
        if sum(part.polygon.area for part in parts) > room + TOLERANCE * shape.polygon.length:
            detail = f"the parts of zone {shape.zone.id} are together larger than the zone"
            yield Fault(pointer=f"{parts[-1].at}/part_of", code="conflict", detail=detail)
        placed = [part for part in parts if part.placed] if shape.placed else []
        for part in placed:
            yield from _inside(
                part.polygon, shape.polygon, _place(part), f"zone {part.zone.id}", f"zone {shape.zone.id}"
            )
            for hole in shape.cut:
                if _overlap(part.polygon, hole):
                    detail = f"zone {part.zone.id} lies over a hole of zone {shape.zone.id}"
                    yield Fault(pointer=_place(part), code="conflict", detail=detail)
        for one, other in combinations(placed, 2):
            if _overlap(one.polygon, other.polygon):
                detail = f"zone {other.zone.id} overlaps zone {one.zone.id}"
                yield Fault(pointer=_place(other), code="conflict", detail=detail, expected="parts side by side")


def overlapping(zones: Sequence[Zone]) -> Iterator[tuple[str, str]]:
    """Yield the pairs of drawn zones, part of no other, that overlap if all were drawn from the same corner."""
    from shapely import Polygon

    drawn = [(z.id, Polygon(z.outline.points)) for z in zones if z.outline is not None and z.part_of is None]
    for (one, shape), (other, beside) in combinations(drawn, 2):
        if _overlap(shape, beside):
            yield one, other


def _place(shape: _Shape) -> str:
    return f"{shape.at}/outline"


def _inside(part: Polygon, whole: Polygon, at: str, what: str, of: str) -> Iterator[Fault]:
    if not whole.buffer(TOLERANCE).covers(part):
        detail = f"{what} reaches outside {of}"
        yield Fault(pointer=at, code="conflict", detail=detail, expected=f"an outline inside {of}")


def _overlap(one: Polygon, other: Polygon) -> bool:
    """Say whether two shapes overlap by more than a strip as thin as the tolerance."""
    return not one.intersection(other).buffer(-TOLERANCE / 2).is_empty
