"""What a picture of zones shows, in words, for who cannot see it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Any

from latewood.calculators import area
from latewood.calculators.area.compute.measure import Measures
from latewood.calculators.area.fields import EdgeWork
from latewood.calculators.area.resolved import Region
from latewood.messages import Angle, Area, Clause, Code, Count, Length, Name, clause
from latewood.plan.layout import Layout

#: Boards drawn; of more only every second, third … is, and the text says so.
MOST_BOARDS = 1500


def shown_every(layout: Layout) -> int:
    """Return one in how many boards is drawn."""
    return math.ceil(_boards(layout) / MOST_BOARDS) or 1


def _boards(layout: Layout) -> int:
    return sum(len(one.floor.laid.bottoms) for one in layout.placed if one.floor)


def describe(x: area.Inputs, layout: Layout, found: Sequence[Region], done: Measures) -> Iterator[Clause]:
    """Say what the picture shows, zone by zone, and what it does not."""
    rows = {row.id: row for row in done.zones}
    drawn = {one.region.id: one for one in layout.placed}
    for zone, region in zip(x.zones, found, strict=True):
        row = rows[region.id]
        mine, whole = Name(region.id), region.part_of
        named = clause("picture-part-of", zone=mine, whole=Name(whole)) if whole else clause("picture-zone", zone=mine)
        if region.id not in drawn:
            yield clause("picture-without-place", zone=named, area=Area(region.net))
            continue
        xs, ys = zip(*region.corners, strict=True)
        yield clause(
            "picture-shape",
            zone=named,
            corners=Count(len(region.corners)),
            long=Length(max(xs) - min(xs)),
            wide=Length(max(ys) - min(ys)),
            area=Area(region.net),
        )
        if zone.holes:
            yield clause("picture-holes", holes=Count(len(zone.holes)))
        floor = drawn[region.id].floor
        if floor is not None and row.boards is not None:
            angle = Angle(floor.settled.lay.direction)
            yield clause("picture-boards", boards=Count(row.boards), angle=angle)
        yield from _edge_work(drawn[region.id].edges, row.obstacle_edge)
    if layout.levels_apart:
        yield clause("picture-levels-apart")
    if _boards(layout) > MOST_BOARDS:
        yield clause("picture-boards-left-out", every=Count(shown_every(layout)))
    tables: dict[str, tuple[Any, ...]] = {"stairs": x.stairs, "guards": x.guards, "extras": x.extras}
    beside = [f"{one.zone or x.zones[0].id}/{table}/{one.id}" for table, rows in tables.items() for one in rows]
    if beside:
        yield clause("picture-not-drawn", parts=[*map(Name, beside)])


def _edge_work(edges: EdgeWork, length: float | None) -> Iterator[Clause]:
    if edges.wall_sides:
        yield clause("picture-wall-sides", sides=[Count(side) for side in edges.wall_sides])
    if edges.rail_sides:
        yield clause("picture-rail-sides", sides=[Count(side) for side in edges.rail_sides])
    unplaced = [clause("picture-along-walls", length=Length(edges.wall_length))] if edges.wall_length else []
    unplaced += [clause("picture-under-rails", length=Length(edges.rail_length))] if edges.rail_length else []
    unplaced += [clause("picture-posts", posts=Count(edges.posts))] if edges.posts else []
    unplaced += [clause("named", name=Code(one.id.replace("-", " "))) for one in edges.obstacles]
    if unplaced:
        yield clause("picture-edges-without-place", edges=unplaced)
    if length is not None:
        yield clause("picture-edge-work", length=Length(length))
