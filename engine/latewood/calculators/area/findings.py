"""What must be said of a take-off: what is missing, how large it may be, what does not add up."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from latewood.calculators.area.compute.measure import LEAST_AREA, Measures
from latewood.calculators.area.resolved import INCH, Resolved
from latewood.formulas import boards as cover
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
            message = (
                f"Zone {zone.id} has a size but no place in zone {zone.part_of}; that it fits there was not checked."
            )
            ledger.find("place-not-checked", "note", message, pointer=f"/zones/{index}", zone=zone.id)
    _missing(r, done, areas, ledger)
    _rows(done, ledger)
    _joints(r, done, ledger)
    _narrow(r, done, ledger)


def _missing(r: Resolved, done: Measures, areas: Mapping[str, float], ledger: Ledger) -> None:
    """Name the faces that could not be counted, with their likely size."""
    bare = sum(areas[id] for id in done.bare)
    if bare > LEAST_AREA:
        low, high = (gap_faces_of(floor, bare) for floor in (LEAST, MOST))
        beside = "" if done.guards else f" A guard adds about {GUARD_PER_METRE} m2 for each metre of it."
        message = (
            f"Of {', '.join(done.bare)} only the boards' upper faces are counted. Gap faces usually add "
            f"{low / bare:.0%} to {high / bare:.0%} ({low:.3g} to {high:.3g} m2); board ends, edge work, stairs, "
            f"guards and posts come on top where they are not given.{beside} "
            "Give the size, gap and direction of the boards."
        )
        ledger.find(
            "field-only",
            "warning",
            message,
            pointer=f"{r.places[done.bare[0]]}/boards",
            zones=list(done.bare),
            low=round(low, 3),
            high=round(high, 3),
        )
    for zone, row in zip(r.zones, done.zones, strict=True):
        place = r.places[zone.id]
        if row.area <= LEAST_AREA:
            # Filled by its parts: whatever is missing is said of them.
            continue
        if row.gap_face_area is not None and row.boards is None:
            message = f"Zone {zone.id} has no shape: board ends, boards, joists and fasteners are not counted."
            ledger.find("no-shape", "warning", message, pointer=f"{place}/area", zone=zone.id)
        if row.gap_face_area is not None and zone.edges is None:
            message = (
                f"No walls or rails were given for zone {zone.id}: "
                + ("its edge work counts guards and holes only" if row.obstacle_edge else "it has no edge work")
                + ", and the rest of the strip along them is in the field."
            )
            ledger.find("edge-work-not-given", "note", message, pointer=f"{place}/edges", zone=zone.id)
        if zone.level is not None and zone.level > GUARD_LEVEL and not done.guards:
            message = (
                f"Zone {zone.id} lies more than 30 in above the ground, where codes ask for a guard; none is given."
            )
            ledger.find("guard-not-given", "note", message, pointer="/guards", zone=zone.id)


def _joints(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find that runs longer than boards on sale are butted, and that the joints were not counted."""
    for floor in done.floors:
        zone, longest = floor.region.id, floor.run.total.longest
        if floor.settled.stock is None and longest > LONGEST_ON_SALE:
            message = (
                f"Boards of {zone} run {longest:.3g} m, and few are sold longer than {LONGEST_ON_SALE:.3g} m (20 ft; "
                "common practice, no source): they are butted. Joints and the second pair of fasteners at each are not "
                "counted. Give boards.stock_length."
            )
            ledger.find("joints-not-counted", "note", message, pointer=r.boards[zone][1], zone=zone)


def find_fit(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find edge work that would take more floor than there is, and boards that run askew to the floor."""
    for row, strip in done.filled:
        message = (
            f"The edge work of zone {row.id} is so long that its strip of {r.pad_width * 1000:.4g} mm ({strip:.3g} m2) "
            f"is larger than the zone ({row.area:.3g} m2): the whole zone counts as perimeter. Check the lengths."
        )
        ledger.find("edge-work-fills-zone", "warning", message, pointer=r.edges[row.id].at, zone=row.id)
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
            message = (
                f"Boards of {zone} run askew to its longest side. Joists were taken square to the boards; if they run "
                f"square to the floor, boards cross {fewer:.0%} fewer of them. Give boards.joist_direction."
            )
            at, id = f"{at}/joist_direction", "joists-under-diagonal-boards"
            ledger.find(id, "warning", message, pointer=at, zone=zone, effect=round(fewer, 4))


def _narrow(r: Resolved, done: Measures, ledger: Ledger) -> None:
    """Find that a floor as measured ends in a splinter of board."""
    for run in {id(floor.run): floor.run for floor in done.floors}.values():
        zone, width = run.regions[0].id, run.total.last_width
        if width < NARROW and run.total.boards > 1:
            message = (
                f"The last board of {zone} would be ripped to {width * 1000:.3g} mm, which nobody lays: gaps, first "
                f"board or measures are likely other. {run.total.boards} boards were counted; there may be one less."
            )
            ledger.find("narrow-last-board", "note", message, pointer=r.boards[zone][1], zone=zone)


def _rows(done: Measures, ledger: Ledger) -> None:
    """Find why the boards of the zones are more than those of the deck."""
    shared = [run for run in {id(floor.run): floor.run for floor in done.floors}.values() if len(run.regions) > 1]
    for run in shared:
        own = [floor for floor in done.floors if floor.run is run]
        rows = sum(floor.laid.boards for floor in own)
        if rows > run.total.boards:
            names = ", ".join(floor.region.id for floor in own)
            message = (
                f"Zones {names} share their boards: {rows} are counted zone by zone, {run.total.boards} in all, "
                "because a board that lies in two zones counts in each. Areas and gap lengths add up."
            )
            ledger.find("boards-in-two-zones", "note", message, zones=[floor.region.id for floor in own])


def find_stated(stated: float | None, total: float, ledger: Ledger) -> None:
    """Compare what was stated with the sum."""
    if stated is None or abs(stated - total) <= ROUNDING * max(stated, total):
        return
    message = (
        f"The floor area stated, {stated:.4g} m2, is not the sum of the zones, {total:.4g} m2 "
        f"({(stated - total) / total:+.1%}). The sum was used; measure again, or find the zone that is missing."
    )
    ledger.find(
        "stated-area-differs", "warning", message, pointer="/stated_area", stated=round(stated, 3), sum=round(total, 3)
    )
