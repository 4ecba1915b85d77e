"""What in a take-off cannot be meant: every fault between fields at once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from latewood.calculators.area.fields import AreaZone, Boards, EdgeWork, ExtraShape, GuardShape, Obstacle, StairShape
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.resolved import Region
from latewood.formulas.joists import joist_angle, spacing_along
from latewood.problems import Fault, InputProblem, conflict, missing, nearest
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
        detail = "zones and a single rectangle are both given" if single else "no floor is given"
        raise InputProblem([conflict("/zones", detail, "either zones, or length and width")])
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
            yield Fault(pointer=f"{at}/{index}/id", code="repeated", detail=f"{one.id} is named twice")
        if one.zone is None and len(ids) > 1:
            detail = "there are several zones, so it must be said which it belongs to"
            yield missing(f"{at}/{index}/zone", detail, "the id of a zone")
        elif one.zone is not None and one.zone not in ids:
            detail, close = f"there is no zone {one.zone}", nearest(one.zone, ids)
            yield Fault(pointer=f"{at}/{index}/zone", code="unknown-id", detail=detail, nearest=close)


def _boards(boards: Boards, at: str) -> Iterator[Fault]:
    size, gap = boards.size, boards.gap
    if size is not None and gap is not None and gap >= size.width:
        detail = f"the gap is as wide as the boards ({gap * 1000:.4g} mm against {size.width * 1000:.4g} mm)"
        yield conflict(f"{at}/gap", detail, "a gap narrower than a board")
    if size is not None and size.thickness > size.width:
        detail = "the board is thicker than it is wide; the thickness comes first"
        yield conflict(f"{at}/size", detail, "a size such as 21x145 mm")
    yield from _joists(boards, at)
    for name in ("groove_depth", "groove_spacing"):
        if boards.profile == "smooth" and getattr(boards, name) is not None:
            yield conflict(f"{at}/{name}", "smooth boards have no grooves", "profile grooved")


def _joists(boards: Boards, at: str) -> Iterator[Fault]:
    angle = joist_angle(boards.direction or 0.0, boards.joist_direction)
    if boards.joist_spacing is None:
        if boards.joist_direction is not None:
            detail = "the direction of the joists says nothing without their spacing"
            yield missing(f"{at}/joist_spacing", detail, "such as 16 in")
    elif math.sin(angle) < math.sin(ALONG):
        detail = "the joists would run along the boards, which then lie on none"
        yield conflict(f"{at}/joist_direction", detail, "joists across the boards, square or askew")
    elif boards.stock_length is not None and boards.stock_length < spacing_along(boards.joist_spacing, angle):
        detail = "a board that does not reach from joist to joist cannot be butted on one"
        yield conflict(f"{at}/stock_length", detail, "a board longer than the joist spacing")


def _edges(edges: EdgeWork, sides: int, at: str) -> Iterator[Fault]:
    """Find sides an outline does not have, sides named twice, and openings longer than what they are in."""
    used: set[int] = set()
    for name in ("wall_sides", "rail_sides"):
        for place, side in enumerate(getattr(edges, name)):
            if side > sides:
                detail = f"the outline has {sides} sides" if sides else "a zone without a shape has no sides"
                expected = f"a side from 1 to {sides}" if sides else f"{name.removesuffix('_sides')}_length"
                yield Fault(pointer=f"{at}/{name}/{place}", code="out-of-range", detail=detail, expected=expected)
            if side in used:
                detail = f"side {side} is named twice"
                yield Fault(pointer=f"{at}/{name}/{place}", code="repeated", detail=detail, expected="each side once")
            used.add(side)
    if edges.post is not None and edges.posts is None:
        detail = "a post size says nothing without the number of posts"
        yield missing(f"{at}/posts", detail, "how many posts stand on the floor")
    for place, one in enumerate(edges.obstacles):
        yield from _obstacle(one, f"{at}/obstacles/{place}")
    for name in ("wall", "rail"):
        if getattr(edges, f"{name}_length") is not None and getattr(edges, f"{name}_sides"):
            detail = f"{name}s are given by their length and by their sides"
            yield conflict(f"{at}/{name}_length", detail, "one of the two")


def _obstacle(one: Obstacle, at: str) -> Iterator[Fault]:
    """Find an obstacle whose sides are given twice, or not at all."""
    sides = [name for name in ("length", "width") if getattr(one, name) is not None]
    expected = "either perimeter, or length and width"
    if one.perimeter is None and len(sides) < 2:
        name = {"length": "width", "width": "length"}[sides[0]] if sides else "perimeter"
        detail = f"how long the sides of {one.id} are is not known"
        yield missing(f"{at}/{name}", detail, expected)
    elif one.perimeter is not None and sides:
        detail = f"the sides of {one.id} are given by their perimeter and by its {' and '.join(sides)}"
        yield conflict(f"{at}/perimeter", detail, expected)


def _stair(x: StairShape, at: str) -> Iterator[Fault]:
    for name in ("stringer", "stringer_form"):
        if getattr(x, name) is not None and x.stringers == 0:
            yield conflict(f"{at}/{name}", f"no stringers are coated, so {name} says nothing")


def _guard(x: GuardShape, at: str) -> Iterator[Fault]:
    """Find what is given of members that are not there, or given twice, and a guard without any member."""
    without = {
        "there are no balusters": (x.balustered is False, ("baluster", "clear_gap")),
        "there are no rails": (x.rails == 0, ("rail", "rail_clearance")),
        "there is no cap": (x.capped is False, ("cap",)),
        "the number of posts is given": (x.posts is not None, ("post_spacing",)),
    }
    for why, (holds, names) in without.items():
        for name in names:
            if holds and getattr(x, name) is not None:
                yield conflict(f"{at}/{name}", f"{why}, so {name} says nothing")
    if x.balustered is False and x.rails == 0 and x.capped is False and x.posts == 0:
        yield conflict(at, "the guard has neither posts nor rails, balusters or cap", "at least one of them")


def _extra(x: ExtraShape, at: str) -> Iterator[Fault]:
    """Find what is missing for an extra of its part, or given and of no use to it."""
    given = [name for name in SIZES if getattr(x, name) is not None]
    if x.area is not None:
        for name in given:
            if name != "length":
                yield conflict(f"{at}/{name}", f"the area is given, so {name} says nothing")
        return
    used = [*USED[x.part], *(name for names in NEEDED[x.part] for name in names)]
    for name in given:
        if name not in used:
            yield conflict(f"{at}/{name}", f"a {x.part} is not measured by its {name}")
    if x.part == "skirting" and x.sides is not None and x.opening:
        yield conflict(f"{at}/sides", "open skirting is coated all round, so sides says nothing")
    for names in NEEDED[x.part]:
        if all(getattr(x, name) is None for name in names):
            words = " or ".join(names)
            yield missing(f"{at}/{names[0]}", f"a {x.part} is measured by its {words}", words)
    if x.opening is not None and x.slat_width is None:
        yield missing(f"{at}/slat_width", "an opening between slats says nothing without their width", "a width")
