"""When a board is dry enough: the first time from which its outer layer stays at or below a limit."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

#: How long (s) the outer layer must stay at or below the limit: a day, so that a dry afternoon is not enough.
HOLD = 24 * 3600.0


def time_until(moisture: Array, limit: float | Array, step: float, hold: float = HOLD) -> Array:
    """Return for each board (column) when its moisture is at the limit for good, in s; NaN where that is never seen.

    For good means for ``hold`` from then on. The crossing is taken between rows on a straight line; a stretch that
    the record ends within is not counted.
    """
    keep = round(hold / step)
    dry = moisture <= limit
    # How many rows before each are dry: a row and the next `keep` are, where that grows by as many.
    before_row = np.zeros((len(dry) + 1, dry.shape[1]), dtype=np.int64)
    np.cumsum(dry, axis=0, out=before_row[1:])
    enough = np.zeros(dry.shape, dtype=bool)
    last = len(dry) - keep
    if last > 0:
        enough[:last] = before_row[keep + 1 :] - before_row[:last] > keep
    found = enough.any(axis=0)
    first = np.argmax(enough, axis=0)
    columns = np.arange(moisture.shape[1])
    before = np.maximum(first - 1, 0)
    high, low = moisture[before, columns], moisture[first, columns]
    fall = np.where(high > low, high - low, 1.0)
    part = np.clip((high - np.broadcast_to(limit, high.shape)) / fall, 0.0, 1.0)
    when = np.where(first > 0, (before + part) * step, 0.0)
    return np.where(found, when, np.nan)
