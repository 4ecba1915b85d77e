"""Floors that people may fall from: how high each stands by all that is said of it, and what is open of its edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isclose

from latewood.calculators.area.compute.edges import TakenOver, lines_of, side_lengths
from latewood.calculators.area.resolved import Region
from latewood.declare import RecordLookup
from latewood.messages import Length, Name
from latewood.plan.borders import Outlined, outlines_of, top_of
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job, Stair, Zone
from latewood.provenance import Ledger, Sourced
from latewood.records.places import region_of

#: How far (m, and as a share) the rise of stairs may differ from the height of their floor: ground is not level, and a
#: landing makes up a step. Common practice, no source.
_UNEVEN, _UNEVEN_SHARE = 0.2, 0.1
#: Share of an open edge that guards and stairs must make up to count as guarding it. Common practice, no source.
_GUARDED = 0.75


def state_edges(job: Job, done: Done, known: RecordLookup, ledger: Ledger) -> None:
    """State whether the edge of each high floor is guarded, or not said to be."""
    limit = _guard_above(job, known)
    for merged in (one for one in done.zones if _worked_on(one)):
        stairs = [(place, stair) for place, stair in enumerate(job.stairs) if _stands_on(job, stair.zone, merged.zone)]
        down = [(place, stair) for place, stair in stairs if not _joins_floors(job, stair, merged.zone)]
        _find_contradictions(job, merged, down, ledger)
        heights = [merged.zone.level or 0.0, *(stair.rise for _, stair in down)]
        if limit is not None and max(heights) > limit.si:
            ledger.take(limit)
            ledger.fact("edge", "guarded" if _guarded(done, merged.zone, stairs) else "unsaid", of=merged.id)


def _worked_on(merged: EffectiveZone) -> bool:
    """Say whether people will work along the edges of this floor: a region inside another has none of its own."""
    coating = merged.fields.coating
    return merged.own is None and merged.zone.part_of is None and coating is not None and not coating.bare


def _guard_above(job: Job, known: RecordLookup) -> Sourced | None:
    """Return the height (m) above which the place asks for guards; the lowest of all places where it is not known."""
    region = region_of(known, job.site.jurisdiction)
    if region is not None and region.guard_above is not None:
        return region.guard_above
    every = (one.guard_above for one in known.records("region").values())
    return min((number for number in every if number is not None), key=lambda number: number.si, default=None)


def _stands_on(job: Job, named: str | None, floor: Zone) -> bool:
    """Say whether what names a zone stands on a floor, or on a region inside it. What names none is of the first."""
    by_id = {zone.id: zone for zone in job.zones}
    zone = job.zones[0] if named is None else by_id.get(named)
    return zone is not None and top_of(zone, by_id).id == floor.id


def _find_contradictions(job: Job, merged: EffectiveZone, stairs: Sequence[tuple[int, Stair]], ledger: Ledger) -> None:
    """Say where stairs rise to another height than their floor is said to stand at: the higher of them counts.

    Beside other floors stairs may lead down to one of them.
    """
    level, alone = merged.zone.level, sum(zone.part_of is None for zone in job.zones) == 1
    if level is None:
        return
    for place, stair in stairs:
        if _alike(stair.rise, level) or not (stair.rise > level or alone):
            continue
        ledger.find(
            "height-contradicted",
            pointer=f"/stairs/{place}/rise",
            params={"of": merged.id},
            zone=Name(merged.id),
            stairs=Name(f"{merged.id}/stairs/{stair.id}"),
            rise=Length(stair.rise),
            level=Length(level),
        )


def _alike(one: float, other: float) -> bool:
    return isclose(one, other, rel_tol=_UNEVEN_SHARE, abs_tol=_UNEVEN)


def _joins_floors(job: Job, stair: Stair, floor: Zone) -> bool:
    """Say whether stairs rise as far as one floor lies above or below another, and not to the ground."""
    others = [zone.level for zone in job.zones if zone.id != floor.id and zone.level is not None]
    return floor.level is not None and any(_alike(stair.rise, abs(floor.level - other)) for other in others)


def _guarded(done: Done, floor: Zone, stairs: Sequence[tuple[int, Stair]]) -> bool:
    """Say whether guards, rails and stairs make up the open edge of a floor, as far as its shape is known."""
    job = done.job
    guards = [one for one in job.guards if one.zone is None or _stands_on(job, one.zone, floor)]
    if not guards:
        return False
    outlines = outlines_of(done, {zone.id for zone in job.zones})
    open_ = next((_open_edge(zone, region, outlines) for zone, region in outlines if zone.id == floor.id), None)
    if open_ is None:
        return True
    closed = sum(guard.length for guard in guards) + sum(stair.width or 0.0 for _, stair in stairs)
    return closed >= _GUARDED * open_


def _open_edge(zone: Zone, region: Region, outlines: Sequence[Outlined]) -> float | None:
    """Return how much of an outline lies neither at a wall nor at another floor; None where no outline is known.

    Where no wall is named the longest side may be at the house.
    """
    if region.outline_length is None or not region.corners:
        return None
    lengths = side_lengths(region, TakenOver(sides=tuple(_beside(region, outlines))))
    edges = zone.edges
    walls = 0.0 if edges is None else edges.wall_length or sum(lengths[side - 1] for side in edges.wall_sides)
    return sum(lengths) - (walls or max(lengths))


def _beside(region: Region, outlines: Sequence[Outlined]) -> Iterator[tuple[tuple[float, float], tuple[float, float]]]:
    """Yield the sides of other floors that are drawn from one corner with this one."""
    for _, other in outlines:
        if other.id != region.id and other.frame is not None and other.frame == region.frame:
            yield from lines_of(other)
