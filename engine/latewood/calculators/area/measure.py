"""Everything measured: floors, edge work, stairs, guards and extras, as faces and as rows of the answer."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import msgspec

from latewood.calculators.area.boards import Boards, EdgeWork, Settled, check_boards, settle
from latewood.calculators.area.defaults import Defaults
from latewood.calculators.area.edging import PAD_WIDTH, Beside, check_edges, edge_work
from latewood.calculators.area.extras import check_extra, extra
from latewood.calculators.area.findings import NOTHING, say_askew, say_strip
from latewood.calculators.area.floor import check_boards_fit, lay_floors
from latewood.calculators.area.guards import Guard, check_guard, guard
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.measures import Measures
from latewood.calculators.area.regions import Region
from latewood.calculators.area.rows import counts, row_of, zone_faces
from latewood.calculators.area.sides import taken_over
from latewood.calculators.area.sizes import say_sizes
from latewood.calculators.area.stairs import check_stair, stair
from latewood.calculators.area.zones import AreaZone
from latewood.problems import Fault, InputProblem, nearest
from latewood.provenance import Ledger


def measure(
    x: Inputs, zones: Sequence[AreaZone], found: Sequence[Region], areas: Mapping[str, float], ledger: Ledger
) -> Measures:
    """Measure all that was given; raise `InputProblem` with every fault."""
    at = "/zones" if x.zones else ""
    places = {zone.id: f"{at}/{index}" if at else "" for index, zone in enumerate(zones)}
    boards = _boards(x, zones, places)
    faults = [*_check(x, zones, found, places, boards)]
    owners = _owners(x, zones, faults)
    if faults:
        raise InputProblem(faults)
    done = Measures(places={id: where for id, (_, where) in boards.items()})
    guards, defaults = _components(x, zones, owners, done, faults, ledger)
    settled = _settle(zones, boards, ledger)
    if too_many := check_boards_fit(found, settled, places):
        raise InputProblem(faults + too_many)
    done.floors = lay_floors(found, settled, _levels(zones))
    by_id = {floor.region.id: floor for floor in done.floors}
    rows, faces = [], []
    pad = _pad(x, zones, guards, ledger)
    edges_of = {zone.id: zone.edges for zone in zones}
    for zone, region in zip(zones, found, strict=True):
        beside = Beside(
            tuple(g.under_rail for g in guards if g.row.zone == zone.id and g.under_rail is not None),
            sum(g.post_girths for g in guards if g.row.zone == zone.id),
            taken_over(region, found, edges_of),
        )
        edge = None
        if zone.edges is not None or region.hole_length or beside.rails or beside.post_girths:
            place = f"{places[zone.id]}/edges"
            edge, wrong = edge_work(zone.edges or EdgeWork(), region, beside, pad, place, ledger)
            faults += wrong
        row = row_of(region, areas[region.id], settled.get(region.id), by_id.get(region.id), ledger)
        if row.gap_face_area is None and row.area > NOTHING:
            done.bare.append(region.id)
        strip = edge.strip if edge is not None else 0.0
        if strip > row.area > NOTHING:
            say_strip(row, strip, pad, f"{places[zone.id]}/edges", ledger)
        faces += zone_faces(row, strip, edge.length if edge is not None else 0.0)
        rows.append(msgspec.structs.replace(row, obstacle_edge=edge.length if edge is not None else None))
    if faults:
        raise InputProblem(faults)
    done.zones = tuple(rows)
    done.faces = faces + done.faces
    say_askew(done, {id: own for id, (own, _) in boards.items()}, ledger)
    _say_defaults(done, defaults)
    edges = [row.obstacle_edge for row in rows if row.obstacle_edge is not None]
    done.obstacle_edge = math.fsum(edges) if edges else None
    done.counts = counts(done.floors, found, rows)
    return done


def _boards(x: Inputs, zones: Sequence[AreaZone], places: Mapping[str, str]) -> dict[str, tuple[Boards, str]]:
    """Return the boards of each zone and where they stand: its own, its parent's, or those of the whole deck."""
    by_id = {zone.id: zone for zone in zones}
    found = {}
    for zone in zones:
        holder: AreaZone | None = zone
        while holder is not None and holder.boards is None:
            holder = by_id.get(holder.part_of) if holder.part_of is not None else None
        if holder is not None and holder.boards is not None:
            found[zone.id] = (holder.boards, f"{places[holder.id]}/boards")
        elif x.boards is not None:
            found[zone.id] = (x.boards, "/boards")
    return found


def _levels(zones: Sequence[AreaZone]) -> dict[str, float | None]:
    """Return the level of each zone: its own, or that of the zone it is part of."""
    by_id = {zone.id: zone for zone in zones}
    found = {}
    for zone in zones:
        holder = zone
        while holder.level is None and holder.part_of is not None:
            holder = by_id[holder.part_of]
        found[zone.id] = holder.level
    return found


def _check(
    x: Inputs,
    zones: Sequence[AreaZone],
    found: Sequence[Region],
    places: Mapping[str, str],
    boards: Mapping[str, tuple[Boards, str]],
) -> list[Fault]:
    faults = {at: check_boards(own, at) for own, at in boards.values()}
    wrong = [fault for group in faults.values() for fault in group]
    for zone, region in zip(zones, found, strict=True):
        if zone.edges is not None:
            wrong += check_edges(zone.edges, len(region.corners), f"{places[zone.id]}/edges")
    wrong += [fault for i, one in enumerate(x.stairs) for fault in check_stair(one, f"/stairs/{i}")]
    wrong += [fault for i, one in enumerate(x.guards) for fault in check_guard(one, f"/guards/{i}")]
    return wrong + [fault for i, one in enumerate(x.extras) for fault in check_extra(one, f"/extras/{i}")]


def _owners(x: Inputs, zones: Sequence[AreaZone], faults: list[Fault]) -> dict[tuple[str, int], str]:
    """Return the zone of every component, noting those of no zone and names used twice."""
    ids = [zone.id for zone in zones]
    owners = {}
    for kind in ("stairs", "guards", "extras"):
        seen: set[str] = set()
        for index, one in enumerate(getattr(x, kind)):
            at = f"/{kind}/{index}"
            if one.id in seen:
                faults.append(Fault(pointer=f"{at}/id", code="repeated", detail=f"{one.id} is named twice"))
            seen.add(one.id)
            if one.zone is None and len(ids) > 1:
                detail = "there are several zones, so it must be said which it belongs to"
                faults.append(Fault(pointer=f"{at}/zone", code="missing", detail=detail, expected="the id of a zone"))
            elif one.zone is not None and one.zone not in ids:
                detail = f"there is no zone {one.zone}"
                faults.append(
                    Fault(pointer=f"{at}/zone", code="unknown-id", detail=detail, nearest=nearest(one.zone, ids))
                )
            owners[kind, index] = one.zone or ids[0]
    return owners


#: The members of each kind of component that may be given by a nominal size.
SIZES = {"stairs": ("stringer",), "guards": ("baluster", "rail", "cap", "post"), "extras": ("size",)}


def _components(
    x: Inputs,
    zones: Sequence[AreaZone],
    owners: Mapping[tuple[str, int], str],
    done: Measures,
    faults: list[Fault],
    ledger: Ledger,
) -> tuple[list[Guard], Defaults]:
    """Measure stairs, guards and extras; return the guards, which bring edge work."""
    defaults = Defaults(ledger)
    flights = [stair(s, owners["stairs", i], f"/stairs/{i}", defaults) for i, s in enumerate(x.stairs)]
    guards = []
    for i, one in enumerate(x.guards):
        zone = owners["guards", i]
        alone = sum(owners["guards", other] == zone for other in range(len(x.guards))) == 1
        found, wrong = guard(one, zone, f"/guards/{i}", defaults, alone=alone)
        faults += wrong
        guards += [found] if found is not None else []
    others = [extra(e, owners["extras", i], f"/extras/{i}", defaults) for i, e in enumerate(x.extras)]
    woods = {zone.id: zone.species for zone in zones}
    for kind, names in SIZES.items():
        for index, one in enumerate(getattr(x, kind)):
            say_sizes(one, f"/{kind}/{index}", names, one.species or woods[owners[kind, index]], ledger)
    done.stairs = tuple(row for row, _ in flights)
    done.guards = tuple(found.row for found in guards)
    done.extras = tuple(row for row, _ in others)
    done.faces = [
        *(f for _, own in flights for f in own),
        *(g.face for g in guards),
        *(f for _, own in others for f in own),
    ]
    return guards, defaults


def _say_defaults(done: Measures, defaults: Defaults) -> None:
    areas = {f"/stairs/{i}": row.area for i, row in enumerate(done.stairs)}
    areas |= {f"/guards/{i}": row.area for i, row in enumerate(done.guards)}
    areas |= {f"/extras/{i}": row.area for i, row in enumerate(done.extras)}
    defaults.say(areas, sum(face.area for face in done.faces))


def _settle(zones: Sequence[AreaZone], boards: Mapping[str, tuple[Boards, str]], ledger: Ledger) -> dict[str, Settled]:
    found = {}
    for zone in zones:
        if zone.id in boards:
            own, at = boards[zone.id]
            if (settled := settle(own, at, zone.species, ledger)) is not None:
                found[zone.id] = settled
    return found


def _pad(x: Inputs, zones: Sequence[AreaZone], guards: Sequence[Guard], ledger: Ledger) -> float:
    if x.pad_width is not None:
        return x.pad_width
    if guards or any(zone.edges is not None or zone.holes for zone in zones):
        # A strip of 150 mm instead of 125 moves a fifth of a strip that is a tenth of the floor.
        ledger.default("pad_width", "125 mm", effect=0.02, why="the smaller of the two pads in general use")
    return PAD_WIDTH
