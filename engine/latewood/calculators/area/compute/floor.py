"""The floor of each zone, board by board."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from typing import TYPE_CHECKING

from latewood.calculators.area.resolved import SEAM, TOLERANCE, BoardLay, Region
from latewood.formulas.joints import joint_count, joints_within
from latewood.formulas.joists import across_joists, joist_count, spacing_along
from latewood.formulas.strips import Laid, Lay, Start, end_length, lay_boards, start_of, turned
from latewood.messages import Count, Name, refusal
from latewood.problems import Fault

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

#: Boards that are cut one by one: ten times the longest boardwalks, in about a second.
MOST_BOARDS = 100_000
#: The most boards times corners of their outlines: half a second of cutting. A boardwalk of 10,000 boards has 500,000.
MOST_CUTS = 2_000_000


@dataclass
class Run:
    """Zones over which boards of one lay run through, from one first board."""

    settled: BoardLay
    regions: list[Region]
    whole: BaseGeometry
    start: Start
    total: Laid
    joists: int | None

    @property
    def joints(self) -> int | None:
        """Return the butt joints of all its boards, None where it is not known how long a board is."""
        stock, lay = self.settled.stock, self.settled.lay
        if stock is None:
            return None
        return int(joint_count(self.total.ends, stock, _spacing(lay)).sum())

    @property
    def crossings(self) -> int | None:
        """Return the crossings of boards and joists; both boards of a joint are fastened to its joist."""
        found = self.total.crossings
        return None if found is None else found + (self.joints or 0)


@dataclass(frozen=True)
class Floor:
    """One zone's boards: what they come to inside it, and the length of board ends cut at its rim."""

    region: Region
    settled: BoardLay
    laid: Laid
    ends: float
    joists: int | None
    run: Run = field(repr=False)

    @property
    def joints(self) -> int | None:
        """Return the joints of its run that lie in this zone."""
        stock, lay, run = self.settled.stock, self.settled.lay, self.run
        if stock is None:
            return None
        return joints_within(self.laid.ends, run.total.ends, stock, _spacing(lay))

    @property
    def crossings(self) -> int | None:
        """Return the crossings in this zone; a board that reaches over its rim ends there once more."""
        found = self.laid.crossings
        return None if found is None else found + (self.joints or 0)

    @property
    def scale(self) -> float:
        """Share of the drawn shape that is left where parts with a size but no place take their area from it."""
        shape = self.region.own
        return self.region.net / shape.area if shape is not None and shape.area > 0 else 1.0


def check_boards_fit(found: Sequence[Region], boards: Mapping[str, BoardLay], places: Mapping[str, str]) -> list[Fault]:
    """Find floors of so many boards that a unit must have been mistaken, before they are cut one by one.

    Each board is held against the corners of its outline, so that boards times corners bound what an answer costs.
    """
    from shapely import count_coordinates

    counts, cuts = {}, {}
    for region in found:
        if region.id in boards and region.own is not None and not region.own.is_empty:
            frame = turned(region.own, boards[region.id].lay.direction)
            counts[region.id] = (frame.bounds[3] - frame.bounds[1]) / boards[region.id].lay.pitch
            cuts[region.id] = counts[region.id] * count_coordinates(frame)
    if sum(counts.values()) > MOST_BOARDS:
        worst = max(counts, key=lambda id: counts[id])
        id, most = "too-many-boards", MOST_BOARDS
    elif sum(cuts.values()) > MOST_CUTS:
        worst = max(cuts, key=lambda id: cuts[id])
        id, most = "too-many-cuts", MOST_CUTS
    else:
        return []
    count = Count(round(counts[worst]))
    return [refusal(id, places[worst] or "/boards", zone=Name(worst), boards=count, most=Count(most))]


def lay_floors(
    found: Sequence[Region], boards: Mapping[str, BoardLay], levels: Mapping[str, float | None]
) -> list[Floor]:
    """Lay the boards of every zone that has a shape. Zones that touch in one lay share their first board."""
    laid = [region for region in found if region.id in boards and region.own is not None and region.own.area > 0]
    floors = []
    for members in _runs(laid, boards, levels):
        run = _run(members, boards[members[0].id])
        for region in members:
            assert region.own is not None  # noqa: S101 - only those were taken above
            lay = run.settled.lay
            alone = len(members) == 1
            part = run.total if alone else lay_boards(region.own, lay, run.start)
            ends = end_length(_rim(region, members), lay, run.start)
            floors.append(Floor(region, run.settled, part, ends, _joists(region.own, run.settled), run))
    order = [region.id for region in found]
    return sorted(floors, key=lambda floor: order.index(floor.region.id))


def _rim(region: Region, members: Sequence[Region]) -> BaseGeometry:
    """Return where boards are cut: the boundary of a zone, but for its seams with zones the boards run on into."""
    from shapely import union_all

    assert region.own is not None  # noqa: S101 - a member of a run has a shape
    others = [other.own for other in members if other is not region and _touch(region, other)]
    rim: BaseGeometry = region.own.boundary
    return rim.difference(union_all(others).buffer(SEAM)) if others else rim


def _run(members: Sequence[Region], settled: BoardLay) -> Run:
    from shapely import union_all

    shapes = [region.own for region in members if region.own is not None]
    whole: BaseGeometry = shapes[0]
    if len(shapes) > 1:
        # Outlines are taped and rounded; seams narrower than the tolerance are closed, corners kept.
        half = TOLERANCE / 2
        whole = union_all([shape.buffer(half, join_style="mitre") for shape in shapes])
        whole = whole.buffer(-half, join_style="mitre")
    start = start_of(whole, settled.lay.direction, settled.lay.joist_angle)
    return Run(settled, list(members), whole, start, lay_boards(whole, settled.lay, start), _joists(whole, settled))


def _joists(shape: BaseGeometry, settled: BoardLay) -> int | None:
    from shapely import get_coordinates

    if settled.lay.joist_spacing is None:
        return None
    points = get_coordinates(turned(shape, settled.lay.direction))
    places = across_joists(points[:, 0], points[:, 1], settled.lay.joist_angle)
    return joist_count(float(places.max() - places.min()), settled.lay.joist_spacing)


def _spacing(lay: Lay) -> float | None:
    """Return the spacing of the joists along the boards."""
    return None if lay.joist_spacing is None else spacing_along(lay.joist_spacing, lay.joist_angle)


def _runs(
    regions: Sequence[Region], boards: Mapping[str, BoardLay], levels: Mapping[str, float | None]
) -> list[list[Region]]:
    """Sort zones into runs: same boards of one wood, same level, and touching."""
    leader = {region.id: region.id for region in regions}

    def find(id: str) -> str:
        while leader[id] != id:
            id = leader[id]
        return id

    for one, other in combinations(regions, 2):
        if _alike(boards[one.id], boards[other.id]) and levels[one.id] == levels[other.id] and _adjoin(one, other):
            leader[find(other.id)] = find(one.id)
    runs: dict[str, list[Region]] = {}
    for region in regions:
        runs.setdefault(find(region.id), []).append(region)
    return list(runs.values())


def _alike(one: BoardLay, other: BoardLay) -> bool:
    """Say whether a board may run from one zone into the other: one lay, and not two woods."""
    return one == other and (one.wood is None or other.wood is None or one.wood == other.wood)


def _touch(one: Region, other: Region) -> bool:
    from shapely import dwithin

    return bool(dwithin(one.own, other.own, TOLERANCE))


def _adjoin(one: Region, other: Region) -> bool:
    if one.own is None or other.own is None or one.frame is None or one.frame != other.frame:
        return False
    if not _touch(one, other):
        return False
    # Two zones that meet in one corner only share no board.
    return bool(one.own.buffer(TOLERANCE).intersection(other.own).area > (2 * TOLERANCE) ** 2 * math.pi)
