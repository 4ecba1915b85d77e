"""The edges of a deck as masking asks for them: walls, and open sides with the outline they belong to."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from typing import Any

from latewood.calculators.area.compute.edges import side_lengths
from latewood.calculators.area.resolved import Region
from latewood.calculators.masking.inputs import Border
from latewood.plan.done import Done
from latewood.plan.job import Job, Zone
from latewood.quantities.outline import Outline

#: A zone with its shape.
Outlined = tuple[Zone, Region]


def borders(job: Job, outlines: Iterable[Outlined]) -> tuple[Border, ...]:
    """Return walls and open sides of these outlines; sides between zones are left in."""
    around = job.surroundings
    painted = around is not None and around.wall_coating not in (None, "none")
    found = []
    for zone, region in outlines:
        lengths = side_lengths(region)
        walls = 0.0
        if zone.edges is not None:
            walls = zone.edges.wall_length or sum(lengths[side - 1] for side in zone.edges.wall_sides)
        if walls:
            found.append(
                Border(
                    id=f"{zone.id}-wall",
                    adjoins="painted-wall" if painted else "wall",
                    length=walls,
                    house_openings=None if around is None else around.house_openings,
                )
            )
        around_it = region.outline_length
        if around_it is not None and around_it > walls:
            boundary = None if around is None else around.boundary
            length = around_it - walls
            own = {"length": length, "boundary": boundary, **_drawn(zone, region)}
            found.append(Border(id=f"{zone.id}-open", adjoins="open", **own))
    return tuple(found)


def _drawn(zone: Zone, region: Region) -> dict[str, Any]:
    """Return the outline of open sides and its walls; nothing where walls are given by their length, or no shape is."""
    edges = zone.edges
    if not region.corners or (edges is not None and edges.wall_length is not None):
        return {}
    text = ", ".join(f"{x:.9g} {y:.9g}" for x, y in region.corners) + " m"
    return {"outline": Outline(region.corners, text), "wall_sides": () if edges is None else edges.wall_sides}


def outlines_of(done: Done, within: Container[str]) -> list[Outlined]:
    """Return each zone that is not a part of another and in which one of these lies, with its shape."""
    zones = done.job.zones
    by_id = {zone.id: zone for zone in zones}
    wanted = {top_of(zone, by_id).id for zone in zones if zone.id in within}
    return [(zone, region) for zone, region in zip(zones, done.regions, strict=True) if zone.id in wanted]


def top_of(zone: Zone, by_id: Mapping[str, Zone]) -> Zone:
    """Return the zone that another is in the end a part of; the take-off has seen to it that there is one."""
    while zone.part_of is not None:
        zone = by_id[zone.part_of]
    return zone
