"""Butt joints of boards that are shorter than the run they cover: on joists, the fewest that the length allows.

Pieces of board lie along x from ``ends[:, 0]`` to ``ends[:, 1]`` in the strip ``ends[:, 2]``; ``ends[:, 3]`` is where a
joist lies along each, and ``joist_spacing`` is counted along the boards. Lengths in m.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from latewood.formulas.joists import SAME_PLACE

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats = NDArray[Any]


def first_joint(start: Any, stock: float, joist_spacing: float | None, first_joist: Any) -> Any:
    """Return the first joint of pieces that begin at ``start``: on the last joist that a whole board reaches."""
    far = np.asarray(start) + stock
    if joist_spacing is None:
        return far
    return first_joist + np.floor((far - first_joist + SAME_PLACE) / joist_spacing) * joist_spacing


def joint_step(stock: float, joist_spacing: float | None) -> float:
    """Return the distance from joint to joint: as many joist spacings as a whole board spans."""
    if joist_spacing is None:
        return stock
    return float(np.floor((stock + SAME_PLACE) / joist_spacing)) * joist_spacing


def joint_count(ends: Floats, stock: float, joist_spacing: float | None) -> Floats:
    """Return how many joints each piece has: none where one board is long enough."""
    start, end = ends[:, 0], ends[:, 1]
    rest = end - first_joint(start, stock, joist_spacing, ends[:, 3]) - stock - SAME_PLACE
    more = np.ceil(np.maximum(rest, 0.0) / joint_step(stock, joist_spacing))
    return np.where(end - start > stock + SAME_PLACE, 1 + more, 0).astype(int)


def joints_within(parts: Floats, pieces: Floats, stock: float, joist_spacing: float | None) -> int:
    """Return how many joints of the ``pieces`` of a floor lie in ``parts`` of them, as a zone cuts them out."""
    if not len(parts):
        return 0
    order = np.lexsort((pieces[:, 0], pieces[:, 2]))
    pieces = pieces[order]
    counts = joint_count(pieces, stock, joist_spacing)
    firsts = first_joint(pieces[:, 0], stock, joist_spacing, pieces[:, 3])
    step = joint_step(stock, joist_spacing)
    # A part lies in the last piece of its strip that begins no later than its middle.
    middle = (parts[:, 0] + parts[:, 1]) / 2
    far = 2 * (np.abs(pieces[:, :2]).max() + 1)
    owner = np.searchsorted(pieces[:, 2] * far + pieces[:, 0], parts[:, 2] * far + middle, side="right") - 1
    before = [np.ceil((parts[:, side] - firsts[owner]) / step - SAME_PLACE / step) for side in (0, 1)]
    low, high = (np.clip(one, 0, counts[owner]) for one in before)
    return int((high - low).sum())
