"""How coarse a grade is, and which grade of another system comes nearest: always by the size of the grain.

A grade's number is a name within its own system: CAMI 100 is nearer to P120 than to P100, CAMI 400 to P800. So grades
are compared by size, and two sizes by the logarithm of their ratio, because a step between grades is a ratio.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(
    symbols="q = d_1/d_2",
    source="FEPA 43-1 and ISO 6344 grade by size; steps of the ladder are ratios of sizes",
    where="over P16 to P220 a step of one grade has ratio 1.19 to 1.34, one that skips a grade 1.42 to 1.73, one that "
    "skips two 1.80 to 2.15; so 1.75 is `skip one grade at most`",
    holds="d_1 the coarser grain",
)
def size_ratio(
    coarser: Annotated[Number, Symbol("d_1", "um")], finer: Annotated[Number, Symbol("d_2", "um")]
) -> Annotated[Number, Symbol("q", "%")]:
    """Divide the coarser grain by the finer: how large a step it is from one grade to the next."""
    return coarser / finer


@formula(
    symbols="D = |ln(d_1/d_2)|",
    source="arithmetic: two sizes are as far apart as their ratio says, whichever stands above",
    holds="both sizes above zero",
)
def size_distance(
    size: Annotated[float, Symbol("d_1", "um")], other: Annotated[float, Symbol("d_2", "um")]
) -> Annotated[float, Symbol("D", "%")]:
    """Take the logarithm of the ratio of two grain sizes, without its sign: how far apart two grades are."""
    distance: float = np.abs(np.log(size / other))
    return distance


def nearest_grade(size: float, ladder: Mapping[str, float]) -> str:
    """Return the grade of a ladder (id to size, m) whose size is nearest; of two as near, the finer.

    The finer one, because a scratch that is too coarse has to be sanded out again.
    """
    return min(ladder, key=lambda id: (round(float(size_distance(size=size, other=ladder[id])), 12), ladder[id]))
