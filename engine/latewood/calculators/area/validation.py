"""What in a take-off cannot be meant: every fault between fields at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from latewood.calculators.area.fields import AreaZone, Boards, EdgeWork, ExtraShape, GuardShape, Obstacle, StairShape
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.resolved import Region
from latewood.formulas.joists import joist_angle, spacing_along
from latewood.messages import Code, Count, Length, Name, Word, clause, refusal
from latewood.problems import Fault, InputProblem, nearest
from latewood.rules.faces import WHOLE

#: Joists nearer than this to the direction of the boards carry none of them (rad).
ALONG = math.radians(20)
#: What has to be known of each part; one of the names joined by "or".
NEEDED: dict[str, tuple[tuple[str, ...], ...]] = {
    "fascia": (("length",), ("height", "size")),
    "skirting": (("length",), ("height",)),
    "lattice": (("length",), ("height",)),
    "bench": (("length",), ("width",)),
    "post": (("height",),),
}
#: What else may be said of each part.
USED: dict[str, tuple[str, ...]] = {
    "fascia": ("thickness",),
    "skirting": ("slat_width", "opening", "thickness", "sides"),
    "lattice": ("slat_width", "opening", "thickness"),
    "bench": ("thickness",),
    "post": ("size",),
}
SIZES = ("length", "height", "width", "thickness", "slat_width", "opening", "size", "sides")


def zones_of(x: Inputs) -> tuple[AreaZone, ...]:
    """Return the zones asked about; a single rectangle is one zone."""
    single = x.length is not None or x.width is not None
    if single == bool(x.zones):
        raise InputProblem([refusal("zones-and-rectangle" if single else "no-floor", "/zones")])
    return x.zones or (AreaZone(id=WHOLE, length=x.length, width=x.width),)


def check(x: Inputs, regions: Iterable[Region], boards: Mapping[str, tuple[Boards, str]]) -> None:
    """Raise `InputProblem` with every fault of boards, edges and components; ``boards`` are those of each zone."""
    zones = zones_of(x)
    faults = [
        fault for own, at in {at: (own, at) for own, at in boards.values()}.values() for fault in _boards(own, at)
    ]
    for index, (zone, region) in enumerate(zip(zones, regions, strict=True)):
        if zone.edges is not None:
            faults += _edges(zone.edges, len(region.corners), f"/zones/{index}/edges")
    faults += [fault for i, one in enumerate(x.stairs) for fault in _stair(one, f"/stairs/{i}")]
    faults += [fault for i, one in enumerate(x.guards) for fault in _guard(one, f"/guards/{i}")]
    faults += [fault for i, one in enumerate(x.extras) for fault in _extra(one, f"/extras/{i}")]
    ids = [zone.id for zone in zones]
    for kind in ("stairs", "guards", "extras"):
        faults += _owned(getattr(x, kind), f"/{kind}", ids)
    InputProblem.raise_any(faults)


def _owned(components: Sequence[StairShape | GuardShape | ExtraShape], at: str, ids: Sequence[str]) -> Iterator[Fault]:
    """Find components of no zone, and names used twice."""
    names = [one.id for one in components]
    for index, one in enumerate(components):
        if one.id in names[:index]:
            yield refusal("component-named-twice", f"{at}/{index}/id", component=Name(one.id))
        if one.zone is None and len(ids) > 1:
            yield refusal("zone-of-component-unknown", f"{at}/{index}/zone")
        elif one.zone is not None and one.zone not in ids:
            close = nearest(one.zone, ids)
            yield refusal("no-such-zone", f"{at}/{index}/zone", nearest=close, zone=Name(one.zone))


def _boards(boards: Boards, at: str) -> Iterator[Fault]:
    size, gap = boards.size, boards.gap
    if size is not None and gap is not None and gap >= size.width:
        yield refusal("gap-as-wide-as-boards", f"{at}/gap", gap=Length(gap), width=Length(size.width))
    if size is not None and size.thickness > size.width:
        yield refusal("board-thicker-than-wide", f"{at}/size")
    yield from _joists(boards, at)
    for name in ("groove_depth", "groove_spacing"):
        if boards.profile == "smooth" and getattr(boards, name) is not None:
            yield refusal("grooves-of-smooth-boards", f"{at}/{name}")


def _joists(boards: Boards, at: str) -> Iterator[Fault]:
    angle = joist_angle(boards.direction or 0.0, boards.joist_direction)
    if boards.joist_spacing is None:
        if boards.joist_direction is not None:
            yield refusal("joist-direction-alone", f"{at}/joist_spacing")
    elif math.sin(angle) < math.sin(ALONG):
        yield refusal("joists-along-boards", f"{at}/joist_direction")
    elif boards.stock_length is not None and boards.stock_length < spacing_along(boards.joist_spacing, angle):
        yield refusal("stock-shorter-than-spacing", f"{at}/stock_length")


def _edges(edges: EdgeWork, sides: int, at: str) -> Iterator[Fault]:
    """Find sides an outline does not have, sides named twice, and openings longer than what they are in."""
    used: set[int] = set()
    for name in ("wall_sides", "rail_sides"):
        for place, side in enumerate(getattr(edges, name)):
            here = f"{at}/{name}/{place}"
            if side > sides > 0:
                yield refusal("no-such-side", here, sides=Count(sides))
            elif side > sides:
                yield refusal("sides-without-shape", here, field=Code(name.replace("_sides", "_length")))
            if side in used:
                yield refusal("side-named-twice", here, side=Count(side))
            used.add(side)
    if edges.post is not None and edges.posts is None:
        yield refusal("post-size-alone", f"{at}/posts")
    for place, one in enumerate(edges.obstacles):
        yield from _obstacle(one, f"{at}/obstacles/{place}")
    for name in ("wall", "rail"):
        if getattr(edges, f"{name}_length") is not None and getattr(edges, f"{name}_sides"):
            yield refusal("walls-given-twice" if name == "wall" else "rails-given-twice", f"{at}/{name}_length")


def _obstacle(one: Obstacle, at: str) -> Iterator[Fault]:
    """Find an obstacle whose sides are given twice, or not at all."""
    sides = [name for name in ("length", "width") if getattr(one, name) is not None]
    if one.perimeter is None and len(sides) < 2:
        name = {"length": "width", "width": "length"}[sides[0]] if sides else "perimeter"
        yield refusal("obstacle-sides-unknown", f"{at}/{name}", obstacle=Name(one.id))
    elif one.perimeter is not None and sides:
        given = [Code(side) for side in sides]
        yield refusal("obstacle-sides-twice", f"{at}/perimeter", obstacle=Name(one.id), sides=given)


def _stair(x: StairShape, at: str) -> Iterator[Fault]:
    for name in ("stringer", "stringer_form"):
        if getattr(x, name) is not None and x.stringers == 0:
            yield refusal("stringers-not-coated", f"{at}/{name}", field=Code(name))


def _guard(x: GuardShape, at: str) -> Iterator[Fault]:
    """Find what is given of members that are not there, or given twice, and a guard without any member."""
    without = {
        "guard-without-balusters": (x.balustered is False, ("baluster", "clear_gap")),
        "guard-without-rails": (x.rails == 0, ("rail", "rail_clearance")),
        "guard-without-cap": (x.capped is False, ("cap",)),
        "guard-posts-given": (x.posts is not None, ("post_spacing",)),
    }
    for why, (holds, names) in without.items():
        for name in names:
            if holds and getattr(x, name) is not None:
                yield refusal("guard-field-unused", f"{at}/{name}", why=clause(why), field=Code(name))
    if x.balustered is False and x.rails == 0 and x.capped is False and x.posts == 0:
        yield refusal("guard-of-nothing", at)


def _extra(x: ExtraShape, at: str) -> Iterator[Fault]:
    """Find what is missing for an extra of its part, or given and of no use to it."""
    given = [name for name in SIZES if getattr(x, name) is not None]
    if x.area is not None:
        for name in given:
            if name != "length":
                yield refusal("extra-area-given", f"{at}/{name}", field=Code(name))
        return
    used = [*USED[x.part], *(name for names in NEEDED[x.part] for name in names)]
    for name in given:
        if name not in used:
            yield refusal("extra-field-unused", f"{at}/{name}", part=Word("part", x.part), field=Code(name))
    if x.part == "skirting" and x.sides is not None and x.opening:
        yield refusal("open-skirting-sides", f"{at}/sides")
    for names in NEEDED[x.part]:
        if all(getattr(x, name) is None for name in names):
            fields = [Code(name) for name in names]
            yield refusal("extra-size-missing", f"{at}/{names[0]}", part=Word("part", x.part), fields=fields)
    if x.opening is not None and x.slat_width is None:
        yield refusal("opening-without-slats", f"{at}/slat_width")
