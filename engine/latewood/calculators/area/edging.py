"""Edge work of a zone: how long it is, and the strip it takes out of the field."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from latewood.calculators.area.boards import EdgeWork, Obstacle
from latewood.calculators.area.defaults import dotted
from latewood.calculators.area.regions import Region
from latewood.calculators.area.sides import TakenOver, free_corners, named, side_lengths
from latewood.calculators.area.sizes import INCH
from latewood.formulas.edges import edge_strip_area, obstacle_edge
from latewood.problems import Fault
from latewood.provenance import Ledger
from latewood.uncertainty import spread

#: Width of an edge tool's pad, where none is given: the smaller of the two disc sizes in general use.
PAD_WIDTH = 0.125
#: Room a floor machine needs under a rail; judgement.
TOOL_HEIGHT = 0.150
#: Side of a post of nominal 4x4, PS 20.
POST = 3.5 * INCH


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


def check_edges(edges: EdgeWork, sides: int, at: str) -> Iterator[Fault]:
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
        yield Fault(pointer=f"{at}/posts", code="missing", detail=detail, expected="how many posts stand on the floor")
    for place, one in enumerate(edges.obstacles):
        yield from _check_obstacle(one, f"{at}/obstacles/{place}")
    for name in ("wall", "rail"):
        if getattr(edges, f"{name}_length") is not None and getattr(edges, f"{name}_sides"):
            detail = f"{name}s are given by their length and by their sides"
            yield Fault(pointer=f"{at}/{name}_length", code="conflict", detail=detail, expected="one of the two")


def _check_obstacle(one: Obstacle, at: str) -> Iterator[Fault]:
    """Find an obstacle whose sides are given twice, or not at all."""
    sides = [name for name in ("length", "width") if getattr(one, name) is not None]
    expected = "either perimeter, or length and width"
    if one.perimeter is None and len(sides) < 2:
        name = {"length": "width", "width": "length"}[sides[0]] if sides else "perimeter"
        detail = f"how long the sides of {one.id} are is not known"
        yield Fault(pointer=f"{at}/{name}", code="missing", detail=detail, expected=expected)
    elif one.perimeter is not None and sides:
        detail = f"the sides of {one.id} are given by their perimeter and by its {' and '.join(sides)}"
        yield Fault(pointer=f"{at}/perimeter", code="conflict", detail=detail, expected=expected)


def _sides_of(one: Obstacle) -> float:
    return one.perimeter if one.perimeter is not None else 2 * ((one.length or 0.0) + (one.width or 0.0))


def edge_work(
    edges: EdgeWork, region: Region, beside: Beside, pad_width: float, at: str, ledger: Ledger
) -> tuple[Edge, list[Fault]]:
    """Return the edge work of one zone, and what is wrong with it."""
    lengths = side_lengths(region, beside.taken)
    walls = edges.wall_length or sum(lengths[side - 1] for side in edges.wall_sides)
    rails = _rails(edges, lengths, beside, at, ledger)
    open_length = edges.opening_length or 0.0
    if open_length > walls + rails + 1e-9:
        detail = "the openings are longer than the walls and rails they are in"
        return Edge(0.0, 0.0), [
            Fault(pointer=f"{at}/opening_length", code="conflict", detail=detail, expected="shorter openings")
        ]
    # Openings are mostly in guards; what is left over is taken off the walls.
    walls, rails = walls - max(open_length - rails, 0.0), max(rails - open_length, 0.0)
    obstacles = sum(_sides_of(one) * one.count for one in edges.obstacles) + _holes(edges, region, at, ledger)
    posts = _posts(edges, beside, at, ledger)
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
        detail = (
            f"so many corners overlap by more than the whole strip of {pad_width * 1000:.4g} mm along the edge work"
        )
        fault = Fault(pointer=f"{at}/inside_corners", code="conflict", detail=detail, expected="fewer corners")
        return Edge(0.0, 0.0), [fault]
    return Edge(spread.central(length), max(spread.central(strip), 0.0)), []


def _rails(edges: EdgeWork, lengths: Sequence[float], beside: Beside, at: str, ledger: Ledger) -> float:
    """Return the length under bottom rails too low for a floor machine."""
    needed = edges.tool_height
    own = edges.rail_length is not None or bool(edges.rail_sides)
    if needed is None:
        needed = TOOL_HEIGHT
        if own or beside.rails:
            ledger.default(dotted(at, "tool_height"), "150 mm", effect=None, why="judgement; room for a floor machine")
    if own:
        length = edges.rail_length or sum(lengths[side - 1] for side in edges.rail_sides)
        return 0.0 if edges.rail_clearance is not None and edges.rail_clearance >= needed else length
    return sum(length for length, clearance in beside.rails if clearance < needed)


def _posts(edges: EdgeWork, beside: Beside, at: str, ledger: Ledger) -> float:
    if edges.posts is None:
        return beside.post_girths
    if edges.post is None and edges.posts:
        ledger.default(
            dotted(at, "post"), "4x4", effect=None, why="the usual guard post; PS 20, 3.5 in square when dressed"
        )
    girth = 4 * POST if edges.post is None else 2 * (edges.post.thickness + edges.post.width)
    return edges.posts * girth


def _holes(edges: EdgeWork, region: Region, at: str, ledger: Ledger) -> float:
    """Return the rim of the holes, where something stands in them."""
    if region.hole_length == 0 or edges.hole_edges == "free":
        return 0.0
    if edges.hole_edges is None:
        why = "a hole is mostly there for a planter, a tree or a hatch"
        ledger.default(dotted(at, "hole_edges"), "obstacle", effect=None, why=why)
    return region.hole_length
