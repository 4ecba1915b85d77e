"""Zones as regions: each inside the zone it is part of, none over another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Any, Final

from latewood.calculators.area.fields import AreaZone
from latewood.calculators.area.resolve.shapes import Shape, inside, overlap, place, shape_of
from latewood.calculators.area.resolved import FILLED, SEAM, TOLERANCE, Region
from latewood.messages import Count, Name, refusal
from latewood.problems import Fault, InputProblem, nearest

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon
    from shapely.geometry.base import BaseGeometry

#: The most corners of all outlines together. A deck of forty zones has hundreds.
MOST_CORNERS: Final = 5000


def regions(zones: Sequence[AreaZone], at: str) -> tuple[Region, ...]:
    """Return the zones as sound regions; raise `InputProblem` with every fault. ``at`` is where the list stands."""
    places = [f"{at}/{index}" if at else "" for index in range(len(zones))]
    InputProblem.raise_any(list(_corners(zones, at)))
    faults = [*_names(zones, places)]
    shapes: dict[str, Shape] = {}
    for zone, where in zip(zones, places, strict=True):
        shape = shape_of(zone, where, faults)
        if shape is not None:
            shapes[zone.id] = shape
    if not faults:
        faults += [*_nesting(list(shapes.values())), *_side_by_side(list(shapes.values()))]
    InputProblem.raise_any(faults)
    return tuple(_region(shape, shapes) for shape in shapes.values())


def _corners(zones: Sequence[AreaZone], at: str) -> Iterator[Fault]:
    """Refuse more corners than a deck has: every outline is held against every other."""
    outlines = [outline for zone in zones for outline in (zone.outline, *zone.holes) if outline is not None]
    count = sum(len(outline.points) for outline in outlines)
    if count > MOST_CORNERS:
        yield refusal("too-many-corners", at or "/outline", corners=Count(count), most=Count(MOST_CORNERS))


def _region(shape: Shape, named: dict[str, Shape]) -> Region:
    zone = shape.zone
    sides = (zone.length, zone.width) if zone.length is not None and zone.width is not None else None
    holes = sum(hole.area for hole in shape.cut)
    parts = [other for other in named.values() if other.zone.part_of == zone.id]
    net = shape.polygon.area - holes - sum(part.polygon.area for part in parts)
    drawn = zone.area is None
    return Region(
        id=zone.id,
        part_of=zone.part_of,
        gross=shape.polygon.area,
        holes=holes,
        hole_length=sum(_rim(hole, shape.polygon) for hole in shape.cut),
        outline_length=shape.polygon.exterior.length if drawn else None,
        sides=sides,
        corners=tuple((x, y) for x, y in shape.polygon.exterior.coords[:-1]) if drawn else (),
        own=_own(shape, [part for part in parts if part.placed]) if drawn else None,
        frame=_frame(shape, named),
        net=0.0 if net < FILLED * shape.polygon.area else net,
    )


def _own(shape: Shape, parts: Sequence[Shape]) -> Polygon | MultiPolygon:
    """Return what is left of a shape, without the splinters that edges taped twice leave behind."""
    from shapely import MultiPolygon, Polygon, get_parts, union_all

    cut = [*shape.cut, *(part.polygon for part in parts)]
    left = shape.polygon.difference(union_all(cut)) if cut else shape.polygon
    whole = [piece for piece in get_parts(left) if isinstance(piece, Polygon) and not _thin(piece)]
    return whole[0] if len(whole) == 1 else MultiPolygon(whole)


def _rim(hole: Polygon, floor: Polygon) -> float:
    """Return the length of a hole's rim, without what lies on the outline: there the floor ends anyway."""
    from shapely import LineString

    beside = floor.exterior.buffer(TOLERANCE)
    if not beside.intersects(hole.exterior):
        return float(hole.length)
    sides = [LineString(ends) for ends in pairwise(hole.exterior.coords)]
    seam = floor.exterior.buffer(SEAM)
    return sum(float(side.difference(seam).length) for side in sides if not beside.covers(side))


def _thin(piece: Polygon) -> bool:
    return bool(piece.buffer(-TOLERANCE / 2).is_empty)


def _frame(shape: Shape, named: dict[str, Shape]) -> str | None:
    """Return which drawing a zone is drawn in: that of all outlines, or its own where it is only a size."""
    if not shape.placed:
        return None
    if shape.zone.part_of is not None:
        return _frame(named[shape.zone.part_of], named)
    return "drawn" if shape.zone.outline is not None else f"size of {shape.zone.id}"


def _names(zones: Sequence[AreaZone], places: Sequence[str]) -> Iterator[Fault]:
    """Find names used twice, parents that do not exist, and zones that are parts of themselves."""
    parents = {zone.id: zone.part_of for zone in zones}
    seen: set[str] = set()
    for zone, at in zip(zones, places, strict=True):
        if zone.id in seen:
            yield refusal("zone-named-twice", f"{at}/id", name=Name(zone.id))
        seen.add(zone.id)
        if zone.part_of is None:
            continue
        if zone.part_of not in parents:
            close = nearest(zone.part_of, parents)
            yield refusal("no-such-zone", f"{at}/part_of", nearest=close, zone=Name(zone.part_of))
        elif zone.id in _ancestors(zone.id, parents):
            yield refusal("zone-of-itself", f"{at}/part_of", zone=Name(zone.id))


def _ancestors(id: str, parents: dict[str, str | None]) -> set[str]:
    found: set[str] = set()
    parent = parents.get(id)
    while parent is not None and parent not in found:
        found.add(parent)
        parent = parents.get(parent)
    return found


def _nesting(shapes: Sequence[Shape]) -> Iterator[Fault]:
    """Find parts outside their zone, parts over one another and over holes, and more parts than there is room for."""
    for shape in shapes:
        parts = [other for other in shapes if other.zone.part_of == shape.zone.id]
        room = shape.polygon.area - sum(hole.area for hole in shape.cut)
        if sum(part.polygon.area for part in parts) > room + TOLERANCE * shape.polygon.length:
            yield refusal("parts-over-zone", f"{parts[-1].at}/part_of", zone=Name(shape.zone.id))
        placed = [part for part in parts if part.placed] if shape.placed else []
        for part in placed:
            names: dict[str, Any] = {"part": Name(part.zone.id), "zone": Name(shape.zone.id)}
            if not inside(part.polygon, shape.polygon):
                yield refusal("part-outside-zone", place(part), **names)
            for hole in shape.cut:
                if overlap(part.polygon, hole):
                    yield refusal("part-over-hole", place(part), **names)
        for one, other in _clashes(placed, lambda one, other: overlap(one.polygon, other.polygon)):
            yield refusal("parts-overlap", place(other), zone=Name(other.zone.id), other=Name(one.zone.id))


def _above(one: AreaZone, other: AreaZone) -> bool:
    """Say whether two zones lie on different levels, so that one may be drawn over the other."""
    return one.level is not None and other.level is not None and abs(one.level - other.level) > TOLERANCE


def _floor(shape: Shape) -> BaseGeometry:
    from shapely import union_all

    return shape.polygon.difference(union_all(shape.cut)) if shape.cut else shape.polygon


def _side_by_side(shapes: Sequence[Shape]) -> Iterator[Fault]:
    """Find zones that are drawn over one another though they lie on one level and neither is part of the other."""
    drawn = [shape for shape in shapes if shape.zone.outline is not None and shape.zone.part_of is None]
    for one, other in _clashes(drawn, _over):
        known = one.zone.level is not None and other.zone.level is not None
        id = "zones-overlap" if known else "zones-overlap-levels-unknown"
        yield refusal(id, place(other), zone=Name(other.zone.id), other=Name(one.zone.id))


def _over(one: Shape, other: Shape) -> bool:
    """Say whether zones of one level, or of levels not known, are drawn over one another."""
    if _above(one.zone, other.zone) or not overlap(one.polygon, other.polygon):
        return False
    return overlap(_floor(one), _floor(other))


def _clashes(shapes: Sequence[Shape], clash: Callable[[Shape, Shape], bool]) -> Iterator[tuple[Shape, Shape]]:
    """Yield each shape that clashes with one before it, and the first it clashes with: one fault a shape is enough."""
    for at, other in enumerate(shapes):
        one = next((one for one in shapes[:at] if clash(one, other)), None)
        if one is not None:
            yield one, other
