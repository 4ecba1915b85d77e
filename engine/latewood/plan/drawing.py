"""A plain picture of a job's zones, boards and edge work, so that a wrong outline is seen at once."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape

from latewood import units
from latewood.calculators import area
from latewood.calculators._area.boards import EdgeWork
from latewood.calculators._area.floor import Floor
from latewood.calculators._area.measure import Measures, measure
from latewood.calculators._area.regions import Region, regions
from latewood.formulas.strips import turned
from latewood.provenance import Ledger
from latewood.wire.write import System

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

#: Drawing units in a metre: centimetres.
SCALE = 100
#: Boards drawn; of more only every second, third … is, and the text says so.
MOST_BOARDS = 1500
#: Room between drawings that have no place beside one another, and around all of them, in metres.
APART, MARGIN = 1.0, 0.6
#: Width of the picture where nothing else says how large it is shown, in pixels.
SHOWN = 900

_STYLE = (
    "svg{background:#fff}text{font-family:sans-serif;fill:#222;stroke:#fff;paint-order:stroke}.zone{fill:#eee;stroke:#444;fill-rule:evenodd}"
    ".board{fill:#ccc;stroke:#888}.wall{stroke:#000}.rail{stroke:#000}.hole{stroke:#000}"
    "line,.hole{fill:none}"
)


@dataclass(frozen=True)
class _Placed:
    """A zone where it is drawn: moved by so much from where it lies in its own drawing (m)."""

    region: Region
    edges: EdgeWork
    floor: Floor | None
    dx: float
    dy: float
    holes: tuple[tuple[tuple[float, float], ...], ...]


def drawing(x: area.Inputs, system: System) -> str:
    """Return the zones of a take-off as SVG, with title and description for who cannot see it.

    Raises `InputProblem` as the take-off does: an outline that crosses itself is not drawn.
    """
    found = regions(x.zones, "/zones")
    done = measure(x, x.zones, found, {region.id: region.net for region in found}, Ledger("area"))
    placed = _place(x, found, done)
    lines = list(_picture(placed, system))
    text = list(_description(x, placed, found, done, system))
    left, low, right, high = _extent(placed)
    wide, tall = (right - left + 2 * MARGIN) * SCALE, (high - low + 2 * MARGIN) * SCALE
    names = ", ".join(region.id for region in found)
    box = f"{_n((left - MARGIN) * SCALE)} {_n(-(high + MARGIN) * SCALE)} {_n(wide)} {_n(tall)}"
    shown = f'width="{SHOWN}" height="{_n(SHOWN * tall / wide)}"'
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="{box}" {shown} role="img" aria-labelledby="title desc">',
            f'<title id="title">Plan view of {escape(names)}</title>',
            f'<desc id="desc">{escape(" ".join(text))}</desc>',
            f"<style>{_STYLE}</style>",
            *lines,
            "</svg>",
            "",
        ]
    )


def _place(x: area.Inputs, found: Sequence[Region], done: Measures) -> list[_Placed]:
    """Put each drawing beside the last; zones drawn from one corner stay together."""
    floors = {floor.region.id: floor for floor in done.floors}
    frames: dict[str, list[Region]] = {}
    for region in found:
        if region.frame is not None:
            frames.setdefault(region.frame, []).append(region)
    edges = {zone.id: zone.edges or EdgeWork() for zone in x.zones}
    holes = {zone.id: tuple(hole.points for hole in zone.holes) for zone in x.zones}
    placed, at = [], 0.0
    for members in frames.values():
        xs, ys = zip(*(corner for region in members for corner in region.corners), strict=True)
        dx, dy = at - min(xs), -min(ys)
        at += max(xs) - min(xs) + APART
        placed += [_Placed(r, edges[r.id], floors.get(r.id), dx, dy, holes[r.id]) for r in members]
    return placed


def _extent(placed: Sequence[_Placed]) -> tuple[float, float, float, float]:
    corners = [(x + one.dx, y + one.dy) for one in placed for x, y in one.region.corners] or [(0.0, 0.0), (1.0, 1.0)]
    xs, ys = zip(*corners, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def _picture(placed: Sequence[_Placed], system: System) -> Iterator[str]:
    left, low, right, high = _extent(placed)
    thin = max(right - left, high - low) * SCALE / 1000
    step = math.ceil(sum(len(one.floor.laid.strips) for one in placed if one.floor) / MOST_BOARDS) or 1
    for one in placed:
        if one.region.own is not None:
            yield f'<path class="zone" stroke-width="{_n(2 * thin)}" d="{_path([one.region.own], one)}"/>'
        if one.floor is not None:
            # Strips lie in the frame in which boards run along x; turn them back.
            back = [turned(strip, -one.floor.settled.lay.direction) for strip in one.floor.laid.strips[::step]]
            yield f'<path class="board" stroke-width="{_n(thin / 2)}" d="{_path(back, one)}"/>'
        if one.edges.hole_edges != "free":
            for hole in one.holes:
                points = " ".join(f"{_n((x + one.dx) * SCALE)},{_n(-(y + one.dy) * SCALE)}" for x, y in hole)
                yield f'<polygon class="hole" stroke-width="{_n(6 * thin)}" points="{points}"/>'
        yield from _edges(one, 6 * thin)
    for one in placed:
        if one.region.own is not None and not one.region.own.is_empty:
            spot = one.region.own.representative_point()
            x, y = (spot.x + one.dx) * SCALE, -(spot.y + one.dy) * SCALE
            label = escape(f"{one.region.id} {_area(one.region.net, system)}")
            size = f'font-size="{_n(28 * thin)}" stroke-width="{_n(8 * thin)}" text-anchor="middle"'
            yield f'<text x="{_n(x)}" y="{_n(y)}" {size}>{label}</text>'


def _edges(one: _Placed, wide: float) -> Iterator[str]:
    """Draw the sides that are edge work by name; walls and rails given as lengths have no place."""
    corners = one.region.corners
    for name, sides in (("wall", one.edges.wall_sides), ("rail", one.edges.rail_sides)):
        for side in sides:
            (x, y), (u, v) = corners[side - 1], corners[side % len(corners)]
            ends = zip(("x1", "y1", "x2", "y2"), (x + one.dx, -y - one.dy, u + one.dx, -v - one.dy), strict=True)
            text = " ".join(f'{key}="{_n(value * SCALE)}"' for key, value in ends)
            dashes = f' stroke-dasharray="{_n(2 * wide)}"' if name == "rail" else ""
            yield f'<line class="{name}" stroke-width="{_n(wide)}"{dashes} {text}/>'


def _description(
    x: area.Inputs, placed: Sequence[_Placed], found: Sequence[Region], done: Measures, system: System
) -> Iterator[str]:
    """Say in words what the picture shows, zone by zone, and what it does not."""
    rows = {row.id: row for row in done.zones}
    drawn = {one.region.id: one for one in placed}
    for zone, region in zip(x.zones, found, strict=True):
        row = rows[region.id]
        part = f", part of {region.part_of}" if region.part_of else ""
        if region.id not in drawn:
            yield f"Zone {region.id}{part}: {_area(region.net, system)}; it has no place and is not drawn."
            continue
        xs, ys = zip(*region.corners, strict=True)
        size = f"{_length(max(xs) - min(xs), system)} by {_length(max(ys) - min(ys), system)}"
        yield f"Zone {region.id}{part}: {len(region.corners)} corners, {size}, {_area(region.net, system)}."
        if zone.holes:
            yield f"It has {len(zone.holes)} {'hole' if len(zone.holes) == 1 else 'holes'}."
        floor = drawn[region.id].floor
        if floor is not None and row.boards is not None:
            angle = units.show(floor.settled.lay.direction, "deg", "angle")
            yield f"{row.boards} boards run at {angle:.4g} degrees from the x axis."
        edges = drawn[region.id].edges
        for words, sides in (("along walls", edges.wall_sides), ("under rails", edges.rail_sides)):
            if sides:
                yield f"Sides {words}: {', '.join(map(str, sides))}."
        if row.obstacle_edge is not None:
            yield f"Edge work: {_length(row.obstacle_edge, system)}."
    shown = sum(len(one.floor.laid.strips) for one in placed if one.floor)
    if shown > MOST_BOARDS:
        yield f"Only one in {math.ceil(shown / MOST_BOARDS)} of the boards is drawn."
    beside = [s.id for s in x.stairs] + [g.id for g in x.guards] + [e.id for e in x.extras]
    if beside:
        yield f"Not drawn, because they have no place: {', '.join(beside)}."


def _path(shapes: Sequence[BaseGeometry], one: _Placed) -> str:
    import shapely

    rings = []
    for piece in shapely.get_parts(shapely.get_parts(list(shapes))):
        if piece.geom_type != "Polygon":
            continue
        for ring in (piece.exterior, *piece.interiors):
            points = [f"{_n((x + one.dx) * SCALE)} {_n(-(y + one.dy) * SCALE)}" for x, y in ring.coords[:-1]]
            rings.append("M" + "L".join(points) + "Z")
    return "".join(rings)


def _area(value: float, system: System) -> str:
    unit = "m2" if system == "metric" else "ft2"
    return f"{units.show(value, unit, 'area'):.4g} {unit}"


def _length(value: float, system: System) -> str:
    unit = "m" if system == "metric" else "ft"
    return f"{units.show(value, unit, 'length'):.4g} {unit}"


def _n(value: float) -> str:
    """Return a coordinate to a tenth of a millimetre, the same on every machine."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
