"""Boards cut against an outline: strips of one pitch, in the direction of the boards, every one against every edge.

The outline is turned so that the boards run along x; strip k then covers ``y0 + k·p`` to ``y0 + k·p + w`` and its gap
the rest of the pitch, so that strips and gaps together tile the outline. All lengths in m, areas in m2.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from latewood.formulas.joists import SAME_PLACE, SQUARE, across_joists, crossings, first_joist

if TYPE_CHECKING:
    from collections.abc import Iterator

    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry

#: A board must show at least this width inside the outline to be counted; less is rounding at the rim.
SLIVER = 1e-4


@dataclass(frozen=True)
class Lay:
    """How boards are laid: width and gap, the angle of their long axis from +x, and from it to the joists (rad)."""

    width: float
    gap: float
    direction: float = 0.0
    joist_spacing: float | None = None
    joist_angle: float = SQUARE

    @property
    def pitch(self) -> float:
        """From one board to the next."""
        return self.width + self.gap


@dataclass(frozen=True)
class Start:
    """Where the first joist lies, measured square to the joists, and the first board, in the turned frame."""

    joist: float
    across: float


@dataclass(frozen=True)
class Laid:
    """What a lay comes to inside one outline."""

    face_area: float
    gap_area: float
    gap_length: float
    boards: int
    pieces: int
    board_length: float
    longest: float
    last_width: float
    crossings: int | None
    #: Of each board the lower side, in the turned frame.
    bottoms: NDArray[Any]
    #: Of each piece where it begins and ends along the boards, in the turned frame, the number of its strip, and where
    #: the first joist lies along it.
    ends: NDArray[Any]


def turned(shape: BaseGeometry, direction: float) -> Any:
    """Return a shape turned so that boards of this direction run along x."""
    import shapely

    c, s = math.cos(direction), math.sin(direction)
    # Quarter turns are exact, so that a deck along the axes keeps its numbers.
    c, s = (round(v) if abs(v - round(v)) < 1e-15 else v for v in (c, s))
    return shapely.transform(shape, lambda xy: xy @ np.array([[c, -s], [s, c]]))


def start_of(shape: BaseGeometry, direction: float, joist_angle: float = SQUARE) -> Start:
    """Return where the first full board and the first joist lie, against the lowest sides of a shape."""
    import shapely

    points = shapely.get_coordinates(turned(shape, direction))
    return Start(float(across_joists(points[:, 0], points[:, 1], joist_angle).min()), float(points[:, 1].min()))


def lay_boards(shape: BaseGeometry, lay: Lay, start: Start) -> Laid:
    """Cut a lay against an outline and count what comes of it.

    A board is a strip that hits the outline anywhere; an outline with holes or corners cuts it into several pieces. A
    piece's length is its extent along the boards, so an end cut askew counts to its tip.
    """
    import shapely

    frame = turned(shape, lay.direction)
    first, bottoms = _bottoms(frame, lay, start)
    # Of many strips only numbers are kept: shapes of all pieces of a large floor would fill the memory.
    areas, bounds, piece_bounds, piece_areas, owners = [], [], [], [], []
    done = 0
    for strips in _bundles(frame, bottoms, lay.width):
        pieces, owner = shapely.get_parts(strips, return_index=True)
        areas.append(shapely.area(strips))
        bounds.append(shapely.bounds(strips))
        piece_areas.append(shapely.area(pieces))
        piece_bounds.append(shapely.bounds(pieces))
        owners.append(owner + done)
        done += len(strips)
    face, owner, ends = np.concatenate(areas), np.concatenate(owners), np.concatenate(piece_bounds)
    shown = np.nan_to_num(np.concatenate(bounds) @ [0.0, -1.0, 0.0, 1.0])
    whole = (face > 0) & (shown > SLIVER)
    gaps_area = max(float(frame.area) - math.fsum(face), 0.0) if lay.gap else 0.0
    real = (np.concatenate(piece_areas) > 0) & (ends[:, 3] - ends[:, 1] > SLIVER) & whole[owner]
    ends = ends[real]
    lengths = ends[:, 2] - ends[:, 0]
    joists = first_joist((ends[:, 1] + ends[:, 3]) / 2, lay.joist_angle, start.joist)
    return Laid(
        face_area=math.fsum(face),
        gap_area=gaps_area,
        gap_length=gaps_area / lay.gap if lay.gap else 0.0,
        boards=int(whole.sum()),
        pieces=len(ends),
        board_length=math.fsum(lengths),
        longest=float(lengths.max(initial=0.0)),
        last_width=float(shown[whole][-1]) if whole.any() else 0.0,
        crossings=crossings(ends, lay.joist_spacing, lay.joist_angle, start.joist) if lay.joist_spacing else None,
        bottoms=bottoms[whole],
        ends=np.column_stack([ends[:, 0], ends[:, 2], owner[real] + first, joists]),
    )


def _bottoms(frame: BaseGeometry, lay: Lay, start: Start) -> tuple[int, NDArray[Any]]:
    """Return the lower side of every strip that can reach the outline, and the number of the first."""
    low, high = frame.bounds[1], frame.bounds[3]
    first = math.floor((low - start.across) / lay.pitch)
    last = math.ceil((high - start.across) / lay.pitch)
    return first, start.across + np.arange(first, last + 1) * lay.pitch


def strips_at(shape: BaseGeometry, lay: Lay, bottoms: NDArray[Any]) -> NDArray[Any]:
    """Return what strips with these lower sides hold of a shape, in the turned frame; the sides ascend."""
    return np.concatenate([*_bundles(turned(shape, lay.direction), bottoms, lay.width), np.empty(0, object)])


def _bundles(frame: BaseGeometry, bottoms: NDArray[Any], width: float) -> Iterator[NDArray[Any]]:
    """Yield what each strip holds of the outline, bundle by bundle.

    The outline is first cut into bundles of strips, so that a strip is held against the corners of its own bundle only.
    """
    import shapely

    left, right = frame.bounds[0] - 1.0, frame.bounds[2] + 1.0
    size = math.isqrt(len(bottoms)) or 1
    for bundle in np.split(bottoms, range(size, len(bottoms), size)):
        if len(bundle):
            part = shapely.clip_by_rect(frame, left, bundle[0] - width, right, bundle[-1] + 2 * width)
            lows = bundle.tolist()
            yield np.array([shapely.clip_by_rect(part, left, low, right, low + width) for low in lows])


def end_length(rim: BaseGeometry, lay: Lay, start: Start) -> float:
    """Return the length of cut board ends (m) along the rim of a floor, without what runs along the boards."""
    import shapely

    lines = shapely.get_parts(turned(rim, lay.direction))
    points = [shapely.get_coordinates(line) for line in lines]
    found = [np.hstack([one[:-1], one[1:]]) for one in points if len(one) > 1]
    if not found:
        return 0.0
    edges = np.vstack(found)
    low, high = (f(edges[:, 1], edges[:, 3]) - start.across for f in (np.minimum, np.maximum))
    climb = high - low
    length = np.hypot(edges[:, 2] - edges[:, 0], edges[:, 3] - edges[:, 1])
    # An edge along the boards is a long edge, not an end. Others are cut by each strip in proportion to their climb.
    cut = climb > SAME_PLACE * length
    covered = _boarded(high[cut], lay) - _boarded(low[cut], lay)
    return float((covered * length[cut] / climb[cut]).sum())


def _boarded(across: NDArray[Any], lay: Lay) -> NDArray[Any]:
    """Return how much of the way from the first board to a place across is board."""
    whole = np.floor(across / lay.pitch)
    return np.asarray(whole * lay.width + np.minimum(across - whole * lay.pitch, lay.width))
