"""Everything measured: floors, edge work, stairs, guards and extras, as faces and as rows of the answer."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import msgspec

from latewood.calculators.area.compute.components import extra, guard, stair
from latewood.calculators.area.compute.edges import Beside, edge_work, taken_over
from latewood.calculators.area.compute.floor import Floor, check_boards_fit, lay_floors
from latewood.calculators.area.compute.labour import Measured, for_labour
from latewood.calculators.area.compute.rows import counts, crossings_of, row_of, zone_faces
from latewood.calculators.area.resolved import FILLED, Region, Resolved
from latewood.calculators.area.result import ExtraArea, FaceArea, GuardArea, PartArea, StairArea, ZoneArea
from latewood.formulas.plane import net_area, rectangle_area
from latewood.messages import Name, refusal
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import LabourAllowance
from latewood.rules.faces import Part
from latewood.uncertainty import spread

#: What is left of a zone that its parts fill, for rounding (m2).
LEAST_AREA = 1e-6


@dataclass
class Measures:
    """What was measured."""

    faces: list[Measured] = field(default_factory=list)
    zones: tuple[ZoneArea, ...] = ()
    stairs: tuple[StairArea, ...] = ()
    guards: tuple[GuardArea, ...] = ()
    extras: tuple[ExtraArea, ...] = ()
    floors: list[Floor] = field(default_factory=list)
    bare: list[str] = field(default_factory=list)
    #: Zones whose edge work takes more floor than there is, each with its strip (m2).
    filled: list[tuple[ZoneArea, float]] = field(default_factory=list)
    obstacle_edge: float | None = None
    counts: dict[str, Any] = field(default_factory=dict)

    @property
    def components(self) -> dict[str, float]:
        """The area of each flight, guard and extra by its place in the request."""
        kinds: dict[str, Sequence[StairArea | GuardArea | ExtraArea]]
        kinds = {"stairs": self.stairs, "guards": self.guards, "extras": self.extras}
        return {f"/{kind}/{i}": row.area for kind, rows in kinds.items() for i, row in enumerate(rows)}


def net_areas(r: Resolved, ledger: Ledger) -> dict[str, float]:
    """Return what is left of each zone without its holes and its parts."""
    return {region.id: _net(region, r.regions, ledger) for region in r.regions}


def _net(region: Region, found: tuple[Region, ...], ledger: Ledger) -> float:
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


def measure(r: Resolved, areas: Mapping[str, float], ledger: Ledger) -> Measures:
    """Measure all that was given; raise `InputProblem` with every fault."""
    flights = [stair(one, ledger) for one in r.stairs]
    found = [guard(one, ledger) for one in r.guards]
    faults = [fault for _, wrong in found for fault in wrong]
    guards = [one for one, _ in found if one is not None]
    others = [extra(one, ledger) for one in r.extras]
    if too_many := check_boards_fit(r.regions, r.laid, r.places):
        raise InputProblem(faults + too_many)
    done = Measures(
        stairs=tuple(row for row, _ in flights),
        guards=tuple(one.row for one in guards),
        extras=tuple(row for row, _ in others),
        floors=lay_floors(r.regions, r.laid, r.levels),
    )
    by_id = {floor.region.id: floor for floor in done.floors}
    crossings = crossings_of(done.floors, r.regions)
    rows = []
    for region in r.regions:
        own = r.edges[region.id]
        beside = Beside(
            tuple(one.under_rail for one in guards if one.row.zone == region.id and one.under_rail is not None),
            sum(one.post_girths for one in guards if one.row.zone == region.id),
            taken_over(region, r.regions, {id: edges.work for id, edges in r.edges.items()}),
        )
        work = own.given or region.hole_length or beside.rails or beside.post_girths
        edge = edge_work(own, region, beside, r.pad_width, ledger) if work else None
        if isinstance(edge, Fault):
            faults.append(edge)
            continue
        own_crossings = crossings.get(region.id)
        row = row_of(region, areas[region.id], r.laid.get(region.id), by_id.get(region.id), own_crossings, ledger)
        if row.gap_face_area is None and row.area > LEAST_AREA:
            done.bare.append(region.id)
        strip, length = (0.0, None) if edge is None else (edge.strip, edge.length)
        if strip > row.area > LEAST_AREA:
            done.filled.append((row, strip))
        done.faces += zone_faces(row, strip, length or 0.0)
        rows.append(msgspec.structs.replace(row, obstacle_edge=length))
    InputProblem.raise_any(faults)
    done.zones = tuple(rows)
    done.faces += (face for _, own in flights for face in own)
    done.faces += (one.face for one in guards)
    done.faces += (face for _, own in others for face in own)
    edges = [row.obstacle_edge for row in rows if row.obstacle_edge is not None]
    done.obstacle_edge = math.fsum(edges) if edges else None
    done.counts = counts(done.floors, r.regions, rows)
    return done


def named(done: Measures) -> dict[str, Measured]:
    """Return the faces by name, those that are there at all."""
    faces: dict[str, Measured] = {}
    for face in done.faces:
        name = "-".join(filter(None, (face.zone, face.part, face.item, face.side)))
        if face.area > 0 and name in faces:
            raise InputProblem([refusal("faces-named-alike", "/zones", name=Name(name))])
        if face.area > 0:
            faces[name] = face
    return faces


def faces_of(faces: Mapping[str, Measured], rule: LabourAllowance | None, ledger: Ledger) -> tuple[FaceArea, ...]:
    """Return the faces as they are answered, with their area for labour."""
    return tuple(
        FaceArea(
            id=name,
            zone=face.zone,
            part=face.part,
            item=face.item,
            side=face.side,
            area=face.area,
            area_for_labour=for_labour(rule, face, ledger),
            length=face.length,
            count=face.count,
        )
        for name, face in faces.items()
    )


def parts_of(faces: tuple[FaceArea, ...]) -> tuple[PartArea, ...]:
    """Return the parts, each with all its faces."""
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
