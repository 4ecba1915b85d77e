"""How large is everything on a deck that can be coated: floor, gap faces, ends, edges, stairs and guards."""

from __future__ import annotations

import math

from latewood.calculators.area.compute.measure import faces_of, measure, named, net_areas, parts_of
from latewood.calculators.area.findings import find, find_fit, find_stated
from latewood.calculators.area.inputs import Inputs
from latewood.calculators.area.resolve import allowance, resolve
from latewood.calculators.area.resolve.components import assume
from latewood.calculators.area.result import Result
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import boards, edges, lattice
from latewood.formulas import guards as guard_formulas
from latewood.formulas import stairs as stair_formulas
from latewood.formulas.plane import net_area, rectangle_area
from latewood.provenance import Ledger


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
    costs=(Cost(0.1, 512),),
    outputs={"area": "face_total", "labour-area": "area_for_labour"},
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
    resolved = resolve(x, ledger)
    areas = net_areas(resolved, ledger)
    done = measure(resolved, areas, ledger)
    find_fit(resolved, done, ledger)
    assume(resolved, done.components, sum(face.area for face in done.faces), ledger)
    find(resolved, done, areas, ledger)
    total = math.fsum(areas.values())
    find_stated(x.stated_area, total, ledger)
    measured = named(done)
    faces = faces_of(measured, allowance(x.labour_allowance, tuple(measured.values()), ledger, known), ledger)
    return Result(
        area=total,
        face_total=math.fsum(face.area for face in faces),
        area_for_labour=math.fsum(face.area_for_labour for face in faces),
        obstacle_edge=done.obstacle_edge,
        **done.counts,
        faces=faces,
        parts=parts_of(faces),
        zones=done.zones,
        stairs=done.stairs or None,
        guards=done.guards or None,
        extras=done.extras or None,
    )


__all__ = ["Inputs", "Result", "area"]
