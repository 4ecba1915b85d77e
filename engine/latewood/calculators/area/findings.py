"""What must be said of a take-off: what is missing, how large it may be, what does not add up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from latewood.calculators.area.compute.measure import LEAST_AREA, Measures
from latewood.calculators.area.resolved import INCH, Resolved
from latewood.formulas import boards as cover
from latewood.messages import Area, Between, Count, Length, Name, Share, clause
from latewood.provenance import Ledger
from latewood.provenance.ledger import MATTERS
from latewood.quantities import lumber

#: The usual floors with the least and the most gap face: 140 x 19 mm at 4 mm, and nominal 5/4x4 at 1/8 in.
LEAST = (lumber.read_nominal("19x140 mm"), 0.004)
MOST = (lumber.read_nominal("5/4x4"), INCH / 8)
#: A stated area this much off is more than rounding to a whole square foot or tenth of a square metre.
ROUNDING = 0.01
#: Guards are asked for above 30 in, US residential code R312; the next figure is the usual guard of `guards`.
GUARD_LEVEL = 30 * INCH
GUARD_PER_METRE = 1.7
#: The longest boards in common sale, 20 ft; common practice, no source.
LONGEST_ON_SALE = 240 * INCH
#: A board ripped to less than this is no board; judgement (m).
NARROW = 0.020


def gap_faces_of(floor: tuple[lumber.Nominal, float], area: float) -> float:
    """Return the gap faces (m2) that so much floor (m2) has when it is laid in this way."""
    size, gap = floor
    length = cover.gap_length(floor_area=area, board_width=size.width, gap=gap)
    return float(cover.gap_face_area(gap_length=length, thickness=size.thickness))


def find(r: Resolved, done: Measures, areas: Mapping[str, float], ledger: Ledger) -> None:
    """Find what is missing, how large it may be, and what does not add up."""
    for index, zone in enumerate(r.zones):
        if zone.part_of is not None and zone.outline is None:
            ledger.find(
                "place-not-checked",
                pointer=f"/zones/{index}",
                params={"zone": zone.id},
                zone=Name(zone.id),
                whole=Name(zone.part_of),
            )
    _missing(r, done, areas, ledger)
    _rows(done, ledger)
    _joints(r, done, ledger)
    _narrow(r, done, ledger)


def _missing(r: Resolved, done: Measures, areas: Mapping[str, float], ledger: Ledger) -> None:
    """Name the faces that could not be counted, with their likely size."""
    bare = sum(areas[id] for id in done.bare)
    if bare > LEAST_AREA:
        low, high = (gap_faces_of(floor, bare) for floor in (LEAST, MOST))
        ledger.find(
            "field-only",
            pointer=f"{r.places[done.bare[0]]}/boards",
            params={"zones": list(done.bare), "low": round(low, 3), "high": round(high, 3)},
            zones=[Name(id) for id in done.bare],
            added=Between(Share(low / bare), Share(high / bare)),
            area=Between(Area(low), Area(high)),
            guards=[] if done.guards else [clause("guard-adds", metre=Area(GUARD_PER_METRE))],
        )
    for zone, row in zip(r.zones, done.zones, strict=True):
        place, plain, named = r.places[zone.id], {"zone": zone.id}, Name(zone.id)
        if row.area <= LEAST_AREA:
            # Filled by its parts: whatever is missing is said of them.
            continue
        if row.gap_face_area is not None and row.boards is None:
            ledger.find("no-shape", pointer=f"{place}/area", params=plain, zone=named)
        if row.gap_face_area is not None and zone.edges is None:
            counted = clause("edge-of-guards-and-holes" if row.obstacle_edge else "edge-none")
            ledger.find("edge-work-not-given", pointer=f"{place}/edges", params=plain, zone=named, counted=counted)
        if zone.level is not None and zone.level > GUARD_LEVEL and not done.guards:
            ledger.find("guard-not-given", pointer="/guards", params=plain, zone=named)


def _joints(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find that runs longer than boards on sale are butted, and that the joints were not counted."""
    for floor in done.floors:
        zone, longest = floor.region.id, floor.run.total.longest
        if floor.settled.stock is None and longest > LONGEST_ON_SALE:
            ledger.find(
                "joints-not-counted",
                pointer=r.boards[zone][1],
                params={"zone": zone},
                zone=Name(zone),
                longest=Length(longest),
                on_sale=Length(LONGEST_ON_SALE),
            )


def find_fit(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find edge work that would take more floor than there is, and boards that run askew to the floor."""
    for row, strip in done.filled:
        ledger.find(
            "edge-work-fills-zone",
            pointer=r.edges[row.id].at,
            params={"zone": row.id},
            zone=Name(row.id),
            pad_width=Length(r.pad_width),
            strip=Area(strip),
            area=Area(row.area),
        )
    _askew(r, done, ledger)


def _askew(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find where boards run askew to the floor, so that joists square to them are the less likely guess."""
    for floor in done.floors:
        zone, settled = floor.region.id, floor.settled
        own, at = r.boards[zone]
        if own.joist_spacing is None or own.joist_direction is not None:
            continue
        sides = pairwise((*floor.region.corners, *floor.region.corners[:1]))
        (x, y), (u, v) = max(sides, key=lambda side: math.dist(*side))
        askew = abs((math.atan2(v - y, u - x) - settled.lay.direction + math.pi / 4) % (math.pi / 2) - math.pi / 4)
        fewer = 1 - math.cos(askew)
        if fewer > MATTERS:
            ledger.find(
                "joists-under-diagonal-boards",
                pointer=f"{at}/joist_direction",
                params={"zone": zone, "effect": round(fewer, 4)},
                zone=Name(zone),
                fewer=Share(fewer),
            )


def _narrow(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find that a floor as measured ends in a splinter of board."""
    for run in {id(floor.run): floor.run for floor in done.floors}.values():
        zone, width = run.regions[0].id, run.total.last_width
        if width < NARROW and run.total.boards > 1:
            ledger.find(
                "narrow-last-board",
                pointer=r.boards[zone][1],
                params={"zone": zone},
                zone=Name(zone),
                width=Length(width),
                boards=Count(run.total.boards),
            )


def _rows(done: Measures, ledger: Ledger) -> None:
    """Find why the boards of the zones are more than those of the deck."""
    shared = [run for run in {id(floor.run): floor.run for floor in done.floors}.values() if len(run.regions) > 1]
    for run in shared:
        own = [floor for floor in done.floors if floor.run is run]
        rows = sum(floor.laid.boards for floor in own)
        if rows > run.total.boards:
            zones = [Name(floor.region.id) for floor in own]
            boards = Count(run.total.boards)
            params = {"zones": [str(zone) for zone in zones]}
            ledger.find("boards-in-two-zones", params=params, zones=zones, rows=Count(rows), boards=boards)


def find_stated(stated: float | None, total: float, ledger: Ledger) -> None:
    """Compare what was stated with the sum."""
    if stated is None or abs(stated - total) <= ROUNDING * max(stated, total):
        return
    ledger.find(
        "stated-area-differs",
        pointer="/stated_area",
        params={"stated": round(stated, 3), "sum": round(total, 3)},
        stated=Area(stated),
        sum=Area(total),
        difference=Share((stated - total) / total),
    )
