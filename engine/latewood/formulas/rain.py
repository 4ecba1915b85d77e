"""What a chance of rain for a whole day leaves for a part of it.

A forecast says how likely rain is in a period, not when in it. How likely it is in a shorter time hangs on how rain
falls: the least where one short shower falls at any time, the most where all rain of the day falls in just that time,
and between them where every hour has its chance apart from the others.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.provenance.formula import Symbol, formula
from latewood.uncertainty.spread import Number

_PERIOD = "a probability of precipitation is that of a measurable amount in a period that is named"


@formula(
    symbols="p = 1 − (1 − P)^(t/T)",
    source="probability: independent times of equal length are dry together by the product of their chances",
    where=_PERIOD,
    holds="rain as likely at every hour of the day, and apart from other hours",
)
def chance_in_hours(
    chance: Annotated[float, Symbol("P", "%")],
    time: Annotated[float, Symbol("t", "h")],
    period: Annotated[float, Symbol("T", "h")],
) -> Annotated[float, Symbol("p", "%")]:
    """Spread the chance of a day evenly over its hours: the chance of rain in some of them."""
    found: float = 1 - (1 - chance) ** (time / period)
    return found


@formula(
    symbols="p = P·t/T",
    source="probability: one moment, as likely at any time, falls into a part of a day by its length",
    where="the least a day's chance can mean for a part of it that is as likely as any other",
    holds="one shower, too short to count its length",
)
def chance_of_one_shower(
    chance: Annotated[Number, Symbol("P", "%")],
    time: Annotated[Number, Symbol("t", "h")],
    period: Annotated[Number, Symbol("T", "h")],
) -> Annotated[Number, Symbol("p", "%")]:
    """Take the share of the day that the hours are: the chance where one short shower falls at any time of it."""
    return chance * time / period


@formula(
    symbols="p = 1 − (1 − p_1)·(1 − p_2)",
    source="probability: two independent times are dry together by the product of their chances",
    holds="chances of two days, taken as independent; rain that stays makes it less",
)
def chance_of_either(
    first: Annotated[Number, Symbol("p_1", "%")], second: Annotated[Number, Symbol("p_2", "%")]
) -> Annotated[Number, Symbol("p", "%")]:
    """Join the chances of two times: rain in one of them or in both."""
    return 1 - (1 - first) * (1 - second)


def dryness(chance: np.ndarray) -> np.ndarray:
    """Return −ln(1 − p), by which chances of independent times add up; certain rain stays finite."""
    found: np.ndarray = -np.log1p(-np.minimum(chance, 1 - 1e-9))
    return found
