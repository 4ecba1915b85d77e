"""Rows and faces of the floor, from the boards cut against it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from latewood.calculators.area.compute.floor import Floor
from latewood.calculators.area.compute.labour import Measured
from latewood.calculators.area.resolved import BoardLay, Region
from latewood.calculators.area.result import ZoneArea
from latewood.formulas import boards as cover
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def row_of(
    region: Region, net: float, settled: BoardLay | None, floor: Floor | None, crossings: int | None, ledger: Ledger
) -> ZoneArea:
    """Return one zone's row but for its edge work. ``crossings`` are its own of a run it shares with others."""
    if settled is None:
        return ZoneArea(id=region.id, area=net, outline_length=region.outline_length)
    if floor is None:
        return _by_rate(region, net, settled, ledger)
    laid, scale = floor.laid, floor.scale
    length = laid.gap_length * scale
    return ZoneArea(
        id=region.id,
        area=net,
        outline_length=region.outline_length,
        face_area=_grooved(laid.face_area * scale, settled, region.id, ledger),
        gap_face_area=_gap_faces(length, settled, region.id, ledger),
        end_grain_area=floor.ends * settled.thickness * scale,
        gap_length=length,
        boards=laid.boards,
        pieces=laid.pieces,
        board_length=laid.board_length,
        longest_board=laid.longest,
        last_board_width=laid.last_width,
        joists=floor.joists,
        joints=floor.joints,
        crossings=crossings,
        fasteners=None if crossings is None else crossings * settled.fasteners,
    )


def _by_rate(region: Region, net: float, settled: BoardLay, ledger: Ledger) -> ZoneArea:
    """Return the row of a zone known by its area alone: what goes by area is known, what goes by shape is not."""
    lay = {"board_width": settled.lay.width, "gap": settled.lay.gap}
    about = region.id
    face = spread.central(ledger.step(cover.board_face_area, about, floor_area=net, **lay))
    length = spread.central(ledger.step(cover.gap_length, about, floor_area=net, **lay)) if settled.lay.gap else 0.0
    return ZoneArea(
        id=region.id,
        area=net,
        outline_length=region.outline_length,
        face_area=_grooved(face, settled, about, ledger),
        gap_face_area=_gap_faces(length, settled, about, ledger),
        gap_length=length,
    )


def _gap_faces(length: float, settled: BoardLay, about: str, ledger: Ledger) -> float:
    step = ledger.step(cover.gap_face_area, about, gap_length=length, thickness=settled.thickness)
    return spread.central(step)


def _grooved(area: float, settled: BoardLay, about: str, ledger: Ledger) -> float:
    if settled.grooves is None:
        return area
    depth, spacing = settled.grooves
    step = ledger.step(cover.grooved_face_area, about, plain_area=area, groove_depth=depth, groove_spacing=spacing)
    return spread.central(step)


def zone_faces(row: ZoneArea, strip: float, edge: float) -> list[Measured]:
    """Return the faces of a floor. The strip covers boards and gaps alike, so it takes their share of the faces."""
    top = row.area if row.face_area is None else row.face_area
    perimeter = min(strip / row.area, 1.0) * top if row.area > 0 else 0.0
    faces = [
        Measured(row.id, "field", top - perimeter, length=row.board_length, count=row.boards),
        Measured(row.id, "perimeter", perimeter, length=edge or None),
    ]
    if row.gap_face_area is not None:
        faces.append(Measured(row.id, "gap-faces", row.gap_face_area, length=row.gap_length))
    if row.end_grain_area is not None:
        faces.append(Measured(row.id, "end-grain", row.end_grain_area))
    return faces


def crossings_of(floors: Sequence[Floor], found: Sequence[Region]) -> dict[str, int]:
    """Return the crossings of each zone, so that the zones of a run come to those of the run.

    A board on a seam is met in both zones and fastened once: by largest remainder, each zone has its share of the run.
    """
    shares: dict[str, int] = {}
    within = _within(floors, found)
    by_id = {floor.region.id: floor for floor in floors}
    runs: dict[int, list[Floor]] = {}
    for floor in floors:
        top = floor.region.id
        while top in within:
            top = within[top]
        runs.setdefault(id(by_id[top].run), []).append(floor)
    for members in runs.values():
        total = next(floor.run.crossings for floor in members if floor.region.id not in within)
        own = [(floor.crossings or 0) * floor.scale for floor in members]
        if total is None:
            continue
        met = sum(own)
        exact = [total * count / met if met else 0.0 for count in own]
        down = [math.floor(share + 1e-9) for share in exact]
        order = sorted(range(len(own)), key=lambda place: down[place] - exact[place])
        for place in order[: total - sum(down)]:
            down[place] += 1
        shares |= {floor.region.id: count for floor, count in zip(members, down, strict=True)}
    return shares


def _within(floors: Sequence[Floor], found: Sequence[Region]) -> dict[str, str]:
    """Return the parts without a place that are laid as their zone, each with it: their boards are among the zone's."""
    lay = {floor.region.id: floor.settled for floor in floors}
    regions = {region.id: region for region in found}
    parents: dict[str, str] = {}
    for id, settled in lay.items():
        parent = regions[id].part_of
        if regions[id].frame is None and parent is not None and lay.get(parent) == settled:
            parents[id] = parent
    return parents


def counts(floors: Sequence[Floor], found: Sequence[Region], rows: Sequence[ZoneArea]) -> dict[str, Any]:
    """Return the counts of the whole deck: each run of boards once, however many zones it goes through."""
    runs, within = [], _within(floors, found)
    for floor in floors:
        if floor.region.id not in within and floor.run not in runs:
            runs.append(floor.run)
    if not runs:
        return {}
    crossings = [run.crossings for run in runs]
    joints = [run.joints for run in runs]
    joists = [run.joists for run in runs]
    whole = None not in crossings
    return {
        "boards": sum(run.total.boards for run in runs),
        "board_length": math.fsum(run.total.board_length for run in runs),
        "gap_length": math.fsum(row.gap_length or 0.0 for row in rows),
        "joists": sum(j for j in joists if j is not None) if whole else None,
        "joints": None if None in joints else sum(j for j in joints if j is not None),
        "crossings": sum(c for c in crossings if c is not None) if whole else None,
        "fasteners": sum((run.crossings or 0) * run.settled.fasteners for run in runs) if whole else None,
    }
