"""Running totals over steps of time, and when they reach a mark. Arrays, the last axis is time; many decks in one call.

No formulas of the science: the arithmetic that formulas of rates are used with.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


def running(rates: Array) -> Array:
    """Return the total before each step and after the last: one more value than there are steps."""
    total = np.zeros((*rates.shape[:-1], rates.shape[-1] + 1))
    np.cumsum(rates, axis=-1, out=total[..., 1:])
    return total


def reached(total: Array, start: ArrayLike, amount: ArrayLike) -> Array:
    """Return, in steps, when each running total has grown by ``amount`` since ``start``; infinity where it never does.

    ``start`` is in steps too, and parts of a step count. With many decks, ``total`` has a row and ``start`` an array of
    starts for each. Within a step the total grows in a straight line.
    """
    if total.ndim > 1:
        flat = total.reshape(-1, total.shape[-1])
        starts = np.broadcast_to(np.asarray(start, float), (*total.shape[:-1], np.shape(start)[-1]))
        amounts = np.broadcast_to(np.asarray(amount, float), starts.shape)
        many = _many(flat, starts.reshape(len(flat), -1), amounts.reshape(len(flat), -1))
        return many.reshape(starts.shape)
    alone: Array = _many(total[None], np.atleast_2d(np.asarray(start, float)), np.asarray(amount, float))[0]
    return alone


def _many(total: Array, starts: Array, amounts: Array) -> Array:
    rows, width = total.shape
    steps = width - 1
    whole = np.clip(np.floor(starts), 0, steps - 1).astype(int)
    line = np.arange(rows)[:, None]
    slope = total[line, whole + 1] - total[line, whole]
    wanted = total[line, whole] + slope * np.clip(starts - whole, 0, 1) + amounts
    # One search over all rows: each is lifted above the one before it, so that together they never fall.
    lift = (float(total[:, -1].max()) + float(np.nanmax(amounts, initial=0.0)) + 1.0) * line
    place = np.searchsorted((total + lift).ravel(), (wanted + lift).ravel(), side="left").reshape(wanted.shape)
    after = np.clip(place - line * width, 1, steps)
    low, high = total[line, after - 1], total[line, after]
    part = np.clip((wanted - low) / np.maximum(high - low, 1e-12), 0.0, 1.0)
    found: Array = np.maximum(after - 1 + part, starts)
    found[wanted > total[:, -1:] + 1e-12] = np.inf
    return found


def ahead(values: Array, steps: int) -> Array:
    """Return the least of each step and the ``steps - 1`` after it; NaN where the series ends before."""
    return _slide(values, steps, forward=True)


def behind(values: Array, steps: int) -> Array:
    """Return the least of each step and the ``steps - 1`` before it; NaN where the series starts after."""
    return _slide(values, steps, forward=False)


def _slide(values: Array, steps: int, *, forward: bool) -> Array:
    """Double the width of the window until it is wide enough: a few passes instead of one for each step."""
    found = np.full(values.shape, np.nan)
    count = values.shape[-1]
    if steps > count:
        return found
    least, width = values, 1
    while width < steps:
        jump = min(width, steps - width)
        least = np.minimum(least[..., : least.shape[-1] - jump], least[..., jump:])
        width += jump
    if forward:
        found[..., : count - steps + 1] = least
    else:
        found[..., steps - 1 :] = least
    return found
