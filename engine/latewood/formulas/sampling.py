"""How sure is the mean of a few readings, and how many would be enough? Student's t for small samples."""

from __future__ import annotations

import math
from typing import Annotated

from latewood.declare import Symbol, formula

_STUDENT = "Student's t distribution; ISO 3534-1 for the terms"


@formula(
    symbols="u = m + k·s, k = t/√n",
    source=_STUDENT,
    where="one-sided confidence bound of a mean, standard deviation estimated from the same n values",
    holds="values drawn at random from one normal population",
)
def upper_bound(
    mean: Annotated[float, Symbol("m", "%")],
    deviation: Annotated[float, Symbol("s", "%")],
    factor: Annotated[float, Symbol("k", "%")],
) -> Annotated[float, Symbol("u", "%")]:
    """Add the uncertainty of the mean: the value it stays below with the chosen confidence."""
    return mean + factor * deviation


def student_t(probability: float, freedom: int) -> float:
    """Return the quantile of Student's t for a probability above one half.

    The distribution function for whole degrees of freedom is a finite sum (Abramowitz and Stegun, 26.7.3 and 26.7.4).
    """
    low, high = 0.0, 1.0
    while _below(high, freedom) < probability:
        high *= 2
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if _below(middle, freedom) < probability else (low, middle)
    return (low + high) / 2


def readings_for(deviation: float, error: float, confidence: float = 0.95) -> int:
    """Return the fewest readings whose mean is known to ``error`` either way: n = (t·s/E)², t with n − 1.

    ASTM D2915 and any text on statistics: the sample size for a mean, Student's t iterated; at least 2.
    """
    two_sided = (1 + confidence) / 2
    n = 2
    while n < 1000 and n < (student_t(two_sided, n - 1) * deviation / error) ** 2:
        n += 1
    return n


def _below(t: float, freedom: int) -> float:
    """Return the probability of a value below t, for t of at least 0."""
    angle = math.atan2(t, math.sqrt(freedom))
    cosine = math.cos(angle)
    if freedom % 2:
        term, total = cosine, 0.0
        for k in range(1, (freedom - 1) // 2 + 1):
            total += term
            term *= cosine * cosine * (2 * k) / (2 * k + 1)
        central = 2 / math.pi * (angle + math.sin(angle) * total)
    else:
        term, total = 1.0, 0.0
        for k in range(1, freedom // 2 + 1):
            total += term
            term *= cosine * cosine * (2 * k - 1) / (2 * k)
        central = math.sin(angle) * total
    return (1 + central) / 2
