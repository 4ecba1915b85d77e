"""Joists under boards: how many there are, and where a board crosses them, square or askew.

In the frame in which boards run along x, joists lie at an angle to them, mostly a right one. A board meets a joist
every ``spacing / sin(angle)``: diagonal boards cross fewer joists for their length. Lengths in m, angles in rad.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

#: Two places this near are one: the end of a board and the joist under it.
SAME_PLACE = 1e-3
SQUARE = math.pi / 2


def across_joists(along: Any, across: Any, angle: float) -> Any:
    """Return how far points lie from the origin, measured square to the joists (arrays pass)."""
    if angle == SQUARE:
        return along
    return along * math.sin(angle) - across * math.cos(angle)


def joist_count(run: float, spacing: float) -> int:
    """Return the joists under a floor: one at its start, one every spacing, and one at its end."""
    return math.ceil(run / spacing - SAME_PLACE / spacing) + 1


def spacing_along(spacing: float, angle: float) -> float:
    """Return the distance along a board from joist to joist."""
    return spacing / math.sin(angle)


def first_joist(across: Any, angle: float, start: float) -> Any:
    """Return where along boards at ``across`` the first joist lies; ``start`` is measured square to the joists."""
    if angle == SQUARE:
        return np.full_like(across, start)
    return (start + across * math.cos(angle)) / math.sin(angle)


def crossings(pieces: NDArray[Any], spacing: float, angle: float, start: float) -> int:
    """Count supports: the joists strictly between the ends of each piece, and one under each end.

    Pieces are boxes: where they begin along and across, and where they end. They cross on their middle line.
    """
    middle = (pieces[:, 1] + pieces[:, 3]) / 2
    begin, end = (across_joists(pieces[:, side], middle, angle) - start for side in (0, 2))
    first = np.floor((begin + SAME_PLACE) / spacing) + 1
    last = np.ceil((end - SAME_PLACE) / spacing) - 1
    return int((np.maximum(last - first + 1, 0) + 2).sum())


def joist_angle(direction: float, joist_direction: float | None) -> float:
    """Return the angle from the boards to the joists, between nought and half a turn (rad)."""
    angle = SQUARE if joist_direction is None else (joist_direction - direction) % math.pi
    # Quarter turns are exact, so that a deck along the axes keeps its numbers.
    return SQUARE if math.isclose(angle, SQUARE, rel_tol=1e-12) else angle
