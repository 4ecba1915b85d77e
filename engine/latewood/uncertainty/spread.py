"""How sure is a number? Uncertain quantities, carried through arithmetic.

An unknown is stated by its P10, P50 and P90. It becomes an `Uncertain`: one array holding the quantity evaluated
with every unknown at its P10, its P50 and its P90 (the anchors), then at 2048 equally probable normal scores. Formulas
are ordinary arithmetic on it; quantiles are taken once, at the end.

Dependence goes by path, the record number an unknown comes from. The same path is the same unknown wherever it is
used; different paths are independent. A record that moves with another is built with that other's path.

The scores of a path are put in an order that depends on the path alone, so a result depends neither on the order of
evaluation nor on the process. Nothing is claimed beyond the outermost scores, one chance in 4096 on either side.
"""

import math
from collections.abc import Sequence
from functools import reduce
from operator import add

import numpy as np

from latewood.uncertainty.scores import ANCHORS, Z90, path_scores, ranked, ranked_scores
from latewood.uncertainty.uncertain import Number, Uncertain, common_trend, finite, made

__all__ = [
    "Number",
    "Uncertain",
    "central",
    "exact",
    "exceedance",
    "from_range",
    "high",
    "lognormal",
    "low",
    "maximum",
    "minimum",
    "moving_together",
    "normal",
    "parts_do_not_add",
    "quantile",
    "share_of_variance",
    "total",
    "value",
]


def lognormal(path: str, p10: float, p50: float, p90: float) -> Uncertain:
    """Give a positive unknown: two half lognormals that meet at the median, so all three quantiles are honoured.

    The quantile at normal score z is `p50·exp(z·s)`, `s = ln(p50/p10)/1.2816` below the median and
    `ln(p90/p50)/1.2816` above. With one `s` it is the lognormal. Unlike the two-piece normal that meets at the mode,
    each half holds a probability of one half.
    """
    _check(path, p10, p50, p90)
    if p10 <= 0:
        raise ValueError(f"{path}: a lognormal quantity is positive, got P10 = {p10!r}; use a normal one")
    z = path_scores(path)
    slope = np.where(z < 0, math.log(p50 / p10), math.log(p90 / p50)) / Z90
    with np.errstate(over="ignore"):  # refused by Uncertain, with the path named
        draws = p50 * np.exp(z * slope)
    return Uncertain(np.concatenate(([p10, p50, p90], draws)), frozenset([path]), 1)


def normal(
    path: str, p10: float, p50: float, p90: float, lowest: float | None = None, highest: float | None = None
) -> Uncertain:
    """Give an unknown that may be zero or negative: two half normals that meet at the median.

    Values beyond `lowest` and `highest` are moved to the bound, which must leave P10 and P90 as they are. For
    temperatures and moisture contents.
    """
    _check(path, p10, p50, p90)
    floor, ceiling = -math.inf if lowest is None else lowest, math.inf if highest is None else highest
    if not (floor <= p10 and p90 <= ceiling):
        raise ValueError(f"{path}: P10 = {p10!r} and P90 = {p90!r} must lie within the bounds {floor!r} to {ceiling!r}")
    z = path_scores(path)
    draws = np.clip(p50 + z * np.where(z < 0, p50 - p10, p90 - p50) / Z90, floor, ceiling)
    return Uncertain(np.concatenate(([p10, p50, p90], draws)), frozenset([path]), 1)


def from_range(path: str, low: float, high: float) -> Uncertain:
    """Read a published range of a positive quantity, "200-400", as P10 to P90, the median at the geometric mean."""
    _check(path, low, low, high)
    if low <= 0:
        raise ValueError(f"{path}: a range has a geometric mean only if it is positive, got {low!r} to {high!r}")
    return lognormal(path, low, min(max(math.sqrt(low) * math.sqrt(high), low), high), high)


def exact(x: float) -> float:
    """Give a number stated without a spread as it is: no spread is invented for it."""
    return finite(x)


def maximum(a: Number, b: Number) -> Number:
    """Give the greater of two quantities, in every state of the unknowns."""
    return _extreme(np.maximum, a, b)


def minimum(a: Number, b: Number) -> Number:
    """Give the smaller of two quantities, in every state of the unknowns."""
    return _extreme(np.minimum, a, b)


def total(parts: Sequence[Number]) -> Number:
    """Add quantities; a float if all are. The P90 of a total is not the total of the P90s."""
    certain = math.fsum(part for part in parts if not isinstance(part, Uncertain))
    unknown = [part for part in parts if isinstance(part, Uncertain)]
    if not unknown:
        return certain
    summed = reduce(add, unknown)
    return summed + certain if certain else summed


def moving_together(x: Number, common: str, correlation: float) -> Number:
    """Give a quantity that moves in part with all others that share the cause `common`.

    Its normal score becomes √ρ times that of the cause and √(1 − ρ) times its own, so that any two have the
    correlation ρ of a Gaussian copula. Each keeps its own distribution: means, and the mean of a sum, do not move.
    """
    if not isinstance(x, Uncertain) or correlation == 0:
        return x
    draws = x.values[len(ANCHORS) :]
    cause, own = path_scores(common), ranked_scores(draws)
    mixed = math.sqrt(correlation) * cause + math.sqrt(1 - correlation) * own
    moved = ranked(np.sort(draws), mixed)
    # What goes by one unknown alone still does: by that unknown as it moves with the others.
    paths = frozenset(f"{path} with {common}" for path in x.paths) if x.trend else x.paths | {common}
    return Uncertain(np.concatenate((x.values[: len(ANCHORS)], moved)), paths, x.trend)


def share_of_variance(part: Number, whole: Number) -> float:
    """Give the share of a sum's variance that a part brings: its covariance with the sum over the sum's variance.

    The shares of all parts add up to one.
    """
    if not isinstance(part, Uncertain) or not isinstance(whole, Uncertain):
        return 0.0
    a, b = part.values[len(ANCHORS) :], whole.values[len(ANCHORS) :]
    return float(np.mean((a - a.mean()) * (b - b.mean())) / b.var())


def parts_do_not_add(parts: Sequence[Number], whole: Number) -> float | None:
    """Give the relative gap, sum of the parts' medians to the median of the whole, if it is more than 1 %.

    Positive where the parts add up to more than the whole. Relative to the whole, or to the sum where the whole is 0.
    """
    summed, median = math.fsum(value(part) for part in parts), value(whole)
    gap = summed - median
    scale = abs(median) or abs(summed)
    return gap / scale if abs(gap) > 0.01 * scale else None


def low(x: Number) -> float:
    """Give the P10 of a quantity; of a float, the float."""
    return quantile(x, 0.1)


def value(x: Number) -> float:
    """Give the P50 of a quantity; of a float, the float."""
    return quantile(x, 0.5)


def high(x: Number) -> float:
    """Give the P90 of a quantity; of a float, the float."""
    return quantile(x, 0.9)


def mean(x: Number) -> float:
    """Give the mean of a quantity; of a float, the float."""
    return x.mean if isinstance(x, Uncertain) else float(x)


def central(x: Number) -> float:
    """Give a quantity with every unknown at its median; of a float, the float."""
    return x.central if isinstance(x, Uncertain) else float(x)


def quantile(x: Number, p: float) -> float:
    """Give the quantile `p` of a quantity; of a float, the float."""
    return x.quantile(p) if isinstance(x, Uncertain) else float(x)


def exceedance(x: Number, threshold: float) -> float:
    """Give the probability that a quantity is greater than `threshold`; of a float, 0 or 1."""
    return x.exceedance(threshold) if isinstance(x, Uncertain) else float(x > threshold)


def _extreme(choose: np.ufunc, a: Number, b: Number) -> Number:
    if isinstance(a, Uncertain) and isinstance(b, Uncertain):
        return made(choose(a.values, b.values), a, b, common_trend(a, b))
    if isinstance(a, Uncertain):
        return made(choose(a.values, finite(b)), a, a, a.trend)  # type: ignore[arg-type]  # not Uncertain, so a float
    return _extreme(choose, b, a) if isinstance(b, Uncertain) else float(choose(a, b))


def _check(path: str, p10: float, p50: float, p90: float) -> None:
    if not path:
        raise ValueError("an unknown needs a path: it says which unknowns are the same")
    if not all(math.isfinite(x) for x in (p10, p50, p90)):
        raise ValueError(f"{path}: P10, P50 and P90 must be finite, got {p10!r}, {p50!r}, {p90!r}")
    if not p10 <= p50 <= p90:
        raise ValueError(f"{path}: P10, P50 and P90 must not fall, got {p10!r}, {p50!r}, {p90!r}")
