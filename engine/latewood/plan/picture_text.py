"""What a picture of zones shows, in words, for who cannot see it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from latewood.calculators import area
from latewood.calculators.area.compute.measure import Measures
from latewood.calculators.area.fields import EdgeWork
from latewood.calculators.area.resolved import Region
from latewood.plan.layout import Layout
from latewood.quantities import units
from latewood.wire.options import System

#: Boards drawn; of more only every second, third … is, and the text says so.
MOST_BOARDS = 1500


def shown_every(layout: Layout) -> int:
    """Return one in how many boards is drawn."""
    return math.ceil(_boards(layout) / MOST_BOARDS) or 1


def _boards(layout: Layout) -> int:
    return sum(len(one.floor.laid.bottoms) for one in layout.placed if one.floor)


def describe(x: area.Inputs, layout: Layout, found: Sequence[Region], done: Measures, system: System) -> Iterator[str]:
    """Say what the picture shows, zone by zone, and what it does not."""
    rows = {row.id: row for row in done.zones}
    drawn = {one.region.id: one for one in layout.placed}
    for zone, region in zip(x.zones, found, strict=True):
        row = rows[region.id]
        part = f", part of {region.part_of}" if region.part_of else ""
        if region.id not in drawn:
            yield f"Zone {region.id}{part}: {in_square(region.net, system)}; it has no place and is not drawn."
            continue
        xs, ys = zip(*region.corners, strict=True)
        size = f"{in_length(max(xs) - min(xs), system)} by {in_length(max(ys) - min(ys), system)}"
        yield f"Zone {region.id}{part}: {len(region.corners)} corners, {size}, {in_square(region.net, system)}."
        if zone.holes:
            yield f"It has {len(zone.holes)} {'hole' if len(zone.holes) == 1 else 'holes'}."
        floor = drawn[region.id].floor
        if floor is not None and row.boards is not None:
            angle = units.show(floor.settled.lay.direction, "deg", "angle")
            yield f"{row.boards} boards run at {angle:.4g} degrees from the x axis."
        yield from _edge_work(drawn[region.id].edges, row.obstacle_edge, system)
    if layout.levels_apart:
        yield "Levels that lie over one another are drawn apart, the lowest first."
    if _boards(layout) > MOST_BOARDS:
        yield f"Only one in {shown_every(layout)} of the boards is drawn."
    beside = [s.id for s in x.stairs] + [g.id for g in x.guards] + [e.id for e in x.extras]
    if beside:
        yield f"Not drawn, because they have no place: {', '.join(beside)}."


def _edge_work(edges: EdgeWork, length: float | None, system: System) -> Iterator[str]:
    for words, sides in (("along walls", edges.wall_sides), ("under rails", edges.rail_sides)):
        if sides:
            yield f"Sides {words}: {', '.join(map(str, sides))}."
    lengths = {"along walls": edges.wall_length, "under rails": edges.rail_length}
    unplaced = [f"{in_length(given, system)} {words}" for words, given in lengths.items() if given]
    unplaced += [f"{edges.posts} posts"] if edges.posts else []
    unplaced += [one.id for one in edges.obstacles]
    if unplaced:
        yield f"Edge work without a place in the picture: {', '.join(unplaced)}."
    if length is not None:
        yield f"Edge work: {in_length(length, system)}."


def in_square(value: float, system: System) -> str:
    """Return an area (m2) as the picture gives it."""
    unit = "m2" if system == "metric" else "ft2"
    return f"{units.show(value, unit, 'area'):.4g} {unit}"


def in_length(value: float, system: System) -> str:
    """Return a length (m) as the picture gives it."""
    unit = "m" if system == "metric" else "ft"
    return f"{units.show(value, unit, 'length'):.4g} {unit}"
