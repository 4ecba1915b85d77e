"""How long a disc cuts, and how much it takes off until it is changed.

The cut falls from new towards a steady value, a + b·exp(−c·t). Where the steady value is above what one asks for, the
disc is never too slow: its time is infinite.
"""

from __future__ import annotations

import math
from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "BioResources 11(2), 5242, 2016"
_WHERE = "belt wear: removal rate a + b·exp(−c·t), tests of 480 min at 6.6 to 18.6 kPa"


@formula(symbols="r = a + b·exp(−c·t)", source=_SOURCE, where=_WHERE, holds="one abrasive on one wood; no clogging")
def cut_after(
    time: Annotated[float, Symbol("t", "min")],
    steady: Annotated[float, Symbol("a", "%")],
    falling: Annotated[float, Symbol("b", "%")],
    wear_rate: Annotated[float, Symbol("c", "1/min")],
) -> Annotated[float, Symbol("r", "%")]:
    """Let the cut of a new disc fall towards its steady part."""
    cut: float = steady + falling * np.exp(-wear_rate * time)
    return cut


@formula(
    symbols="t = ln(b/(x·(a + b) − a))/c",
    source=_SOURCE,
    where=f"{_WHERE}; solved for the time",
    holds="infinite where the steady part alone is above x·(a + b)",
)
def disc_time(
    change_at: Annotated[float, Symbol("x", "%")],
    steady: Annotated[float, Symbol("a", "%")],
    falling: Annotated[float, Symbol("b", "%")],
    wear_rate: Annotated[float, Symbol("c", "1/min")],
) -> Annotated[float, Symbol("t", "min")]:
    """Find when the cut has fallen to a share of that of a new disc."""
    left = change_at * (steady + falling) - steady
    # 40 % of 0.4 + 0.6 less 0.4 leaves a rest of rounding, which is no rest.
    if left <= 1e-12 * (steady + falling):
        return math.inf
    return math.log(falling / left) / wear_rate if falling > left else 0.0


@formula(symbols="R = a·t + b·(1 − exp(−c·t))/c", source=_SOURCE, where=f"{_WHERE}; integrated", holds="as above")
def removed_until(
    time: Annotated[float, Symbol("t", "min")],
    steady: Annotated[float, Symbol("a", "%")],
    falling: Annotated[float, Symbol("b", "%")],
    wear_rate: Annotated[float, Symbol("c", "1/min")],
) -> Annotated[float, Symbol("R", "min")]:
    """Add up the cut until a time, in minutes of a disc that cuts as the whole of a + b = 100 % does."""
    removed: float = steady * time - falling * np.expm1(-wear_rate * time) / wear_rate
    return removed


@formula(symbols="r_m = R/t", source="arithmetic", holds="t above zero")
def mean_cut(
    removed: Annotated[float, Symbol("R", "min")], time: Annotated[float, Symbol("t", "min")]
) -> Annotated[float, Symbol("r_m", "%")]:
    """Divide what was removed by the time: the mean cut of a disc until it is changed."""
    return removed / time


@formula(
    symbols="L = L_0·S/S_0",
    source="geometry: as many grains as area",
    holds="one grade on one surface; pads of one kind",
)
def life_by_size(
    life: Annotated[Number, Symbol("L_0", "m2")],
    abrasive_area: Annotated[Number, Symbol("S", "cm2")],
    reference_area: Annotated[Number, Symbol("S_0", "cm2")],
) -> Annotated[Number, Symbol("L", "m2")]:
    """Let the floor that a piece of abrasive sands go with its area."""
    return life * abrasive_area / reference_area


@formula(symbols="S = π·D²/4", source="plane geometry", holds="a round pad, its holes not deducted")
def pad_area(diameter: Annotated[Number, Symbol("D", "mm")]) -> Annotated[Number, Symbol("S", "cm2")]:
    """Give a round pad the area of its circle."""
    return math.pi * diameter * diameter / 4


@formula(
    symbols="n = A·e/L",
    source="arithmetic",
    where="e is the work beside that on the surface the life is stated for; twice the depth wears twice the discs",
    holds="whole discs are bought; the next whole number is taken",
)
def discs_worn(
    area: Annotated[Number, Symbol("A", "m2")],
    effort: Annotated[Number, Symbol("e", "%")],
    life: Annotated[Number, Symbol("L", "m2")],
) -> Annotated[Number, Symbol("n", "%")]:
    """Divide the area sanded, weighed by its work, by what one disc does: 250 % being two and a half discs."""
    return area * effort / life
