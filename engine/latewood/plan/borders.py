"""The edges of a deck as masking asks for them: walls, open sides and outer corners of each outline."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping
from itertools import pairwise

from latewood.calculators.area.compute.edges import side_lengths
from latewood.calculators.area.fields import AreaZone
from latewood.calculators.area.resolve.regions import regions
from latewood.calculators.area.resolved import Region
from latewood.calculators.masking.inputs import Border
from latewood.plan.job import Job, Zone
from latewood.plan.task import filled

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
            found.append(Border(id=f"{zone.id}-open", adjoins="open", length=around_it - walls, boundary=boundary))
    return tuple(found)


def corners(outlines: Iterable[Outlined]) -> int | None:
    """Count outer corners between two open sides; None where walls are given by their length, or no shape is known."""
    count = 0
    for zone, region in outlines:
        points = region.corners
        if not points or (zone.edges is not None and zone.edges.wall_length is not None):
            return None
        walls = set() if zone.edges is None else set(zone.edges.wall_sides)
        area = sum(x * v - u * y for (x, y), (u, v) in pairwise((*points, points[0])))
        for place in range(len(points)):
            (x, y), (u, v), (w, z) = (points[(place + step) % len(points)] for step in (-1, 0, 1))
            outward = ((u - x) * (z - v) - (v - y) * (w - u)) * area > 0
            # Side n runs from corner n to the next, counted from 1: this corner lies between two of them.
            before, after = place or len(points), place + 1
            count += outward and not {before, after} & walls
    return count


def outlines_of(job: Job, within: Container[str]) -> list[Outlined]:
    """Return each zone that is not a part of another and in which one of these lies, with its shape."""
    by_id = {zone.id: zone for zone in job.zones}
    wanted = {top_of(zone, by_id).id for zone in job.zones if zone.id in within}
    shapes = tuple(filled(AreaZone, zone) for zone in job.zones)
    found = zip(job.zones, regions(shapes, "/zones"), strict=True)
    return [(zone, region) for zone, region in found if zone.id in wanted]


def top_of(zone: Zone, by_id: Mapping[str, Zone]) -> Zone:
    """Return the zone that another is in the end a part of; the take-off has seen to it that there is one."""
    while zone.part_of is not None:
        zone = by_id[zone.part_of]
    return zone
