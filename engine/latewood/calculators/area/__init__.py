"""How large is everything on a deck that can be coated: floor, gap faces, ends, edges, stairs and guards."""

from __future__ import annotations

import math

from latewood.calculators.area import labour
from latewood.calculators.area.findings import say_joints, say_missing, say_narrow, say_rows, say_stated
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.measure import measure
from latewood.calculators.area.measures import Measures
from latewood.calculators.area.regions import FILLED, Region, regions
from latewood.calculators.area.result import PartArea, Result
from latewood.calculators.area.zones import AreaZone, FaceArea
from latewood.declare import RecordLookup, calculator
from latewood.formulas import boards, edges, lattice
from latewood.formulas import guards as guard_formulas
from latewood.formulas import stairs as stair_formulas
from latewood.formulas.plane import net_area, rectangle_area
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.rules.faces import WHOLE, Part
from latewood.uncertainty import spread


@calculator(
    "area",
    "Take-off of areas",
    since="0.1",
    example={
        "zones": [
            {
                "id": "main",
                "outline": "0 0, 24 0, 24 16, 0 16 ft",
                "boards": {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"},
                "edges": {"wall_sides": [3], "rail_sides": [1, 2, 4], "opening_length": "4 ft", "posts": 8},
            },
            {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft"},
        ],
        "stairs": [{"id": "steps", "zone": "main", "rise": "31 in"}],
        "guards": [{"id": "south", "zone": "main", "length": "20 ft"}],
    },
    formulas=(
        rectangle_area,
        net_area,
        boards.board_face_area,
        boards.gap_length,
        boards.gap_face_area,
        boards.grooved_face_area,
        edges.obstacle_edge,
        edges.edge_strip_area,
        stair_formulas.riser_height,
        stair_formulas.tread_area,
        stair_formulas.nosing_area,
        stair_formulas.riser_area,
        stair_formulas.stringer_length,
        guard_formulas.baluster_length,
        guard_formulas.baluster_gap,
        guard_formulas.member_area,
        lattice.lattice_factor,
        lattice.slat_factor,
        lattice.open_work_area,
        lattice.fascia_area,
        lattice.bench_area,
        lattice.post_area,
    ),
)
def area(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Take off every face of a deck, zone by zone and part by part.

    Boards are cut against the outline, strip by strip: their upper faces less the strip an edge tool works, that strip,
    both faces of every gap, cut ends; then stairs, guards and extras by true geometry. Faces are disjoint. Material and
    labour are two areas: the second goes by a published rule of measurement, which is a choice. Where a zone is known
    by its floor only, one `field` face is counted and a finding says what is missing and how large it may be.

    An outline that crosses itself, a hole or part that reaches outside, zones of one level that overlap, and gaps wider
    than boards are refused.
    """
    zones = _zones(x)
    at = "/zones" if x.zones else ""
    found = regions(zones, at)
    areas = {region.id: _net(region, found, ledger) for region in found}
    done = measure(x, zones, found, areas, ledger)
    _say_places(zones, ledger)
    say_missing(done, zones, areas, at, ledger)
    say_rows(done, ledger)
    say_joints(done, ledger)
    say_narrow(done, ledger)
    total = math.fsum(areas.values())
    say_stated(x.stated_area, total, ledger)
    faces = _faces(x, done, ledger, known)
    return Result(
        area=total,
        face_total=math.fsum(face.area for face in faces),
        area_for_labour=math.fsum(face.area_for_labour for face in faces),
        obstacle_edge=done.obstacle_edge,
        **done.counts,
        faces=faces,
        parts=_parts(faces),
        zones=done.zones,
        stairs=done.stairs or None,
        guards=done.guards or None,
        extras=done.extras or None,
    )


def _zones(x: Inputs) -> tuple[AreaZone, ...]:
    """Return the zones asked about; a single rectangle is one zone."""
    single = x.length is not None or x.width is not None
    if single == bool(x.zones):
        detail = "zones and a single rectangle are both given" if single else "no floor is given"
        fault = Fault(pointer="/zones", code="conflict", detail=detail, expected="either zones, or length and width")
        raise InputProblem([fault])
    return x.zones or (AreaZone(id=WHOLE, length=x.length, width=x.width),)


def _net(region: Region, found: tuple[Region, ...], ledger: Ledger) -> float:
    """Return what is left of a zone without its holes and its parts."""
    gross = region.gross
    if region.sides is not None:
        length, width = region.sides
        gross = spread.central(ledger.step(rectangle_area, region.id, length=length, width=width))
    parts = sum(other.gross for other in found if other.part_of == region.id)
    if not (parts or region.holes):
        return gross
    left = ledger.step(net_area, region.id, outline_area=gross, holes_area=region.holes, parts_area=parts)
    # Shared edges are computed twice, from different corners: nothing is left of a zone that its parts fill.
    return 0.0 if spread.central(left) < FILLED * gross else spread.central(left)


def _say_places(zones: tuple[AreaZone, ...], ledger: Ledger) -> None:
    for index, zone in enumerate(zones):
        if zone.part_of is not None and zone.outline is None:
            message = (
                f"Zone {zone.id} has a size but no place in zone {zone.part_of}; that it fits there was not checked."
            )
            ledger.find("place-not-checked", "note", message, pointer=f"/zones/{index}", zone=zone.id)


def _faces(x: Inputs, done: Measures, ledger: Ledger, known: RecordLookup) -> tuple[FaceArea, ...]:
    measured = {_name(face): face for face in done.faces if face.area > 0}
    same = [_name(face) for face in done.faces if face.area > 0 and measured[_name(face)] is not face]
    if same:
        detail = f"two faces would be named {same[0]}: the names of zones and of what stands on them run together"
        raise InputProblem([Fault(pointer="/zones", code="repeated", detail=detail, expected="other names")])
    rule = labour.choose(x.labour_allowance, measured.values(), ledger, known)
    return tuple(
        FaceArea(
            id=name,
            zone=face.zone,
            part=face.part,
            item=face.item,
            side=face.side,
            area=face.area,
            area_for_labour=labour.for_labour(rule, face, ledger),
            length=face.length,
            count=face.count,
        )
        for name, face in measured.items()
    )


def _name(face: labour.Measured) -> str:
    return "-".join(filter(None, (face.zone, face.part, face.item, face.side)))


def _parts(faces: tuple[FaceArea, ...]) -> tuple[PartArea, ...]:
    named: dict[Part, list[FaceArea]] = {}
    for face in faces:
        named.setdefault(face.part, []).append(face)
    return tuple(
        PartArea(
            id=part,
            area=math.fsum(face.area for face in own),
            area_for_labour=math.fsum(face.area_for_labour for face in own),
        )
        for part, own in named.items()
    )


__all__ = ["Inputs", "Result", "area"]
