"""How many fasteners stand proud, what a sample says of it, and how deep their heads go."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.scores import Z90
from latewood.uncertainty.spread import Number

_WILSON = "Wilson 1927, Probable inference, the law of succession, and statistical inference, JASA 22(158)"


@formula(
    symbols="T = F·p",
    source="arithmetic",
    holds="numbers as percentages: 67 600 % are 676 heads; whole heads are treated",
)
def heads_to_treat(
    fasteners: Annotated[Number, Symbol("F", "%")], share_proud: Annotated[Number, Symbol("p", "%")]
) -> Annotated[Number, Symbol("T", "%")]:
    """Take the share of the heads that stands proud: all are looked at, these are treated."""
    return fasteners * share_proud


@formula(
    symbols="s = z + c",
    source="judgement: a head lies a little deeper than the wood is taken off, so that no disc meets it",
    holds="z the depth planned to be sanded off, at its high end where it is not known",
)
def set_depth(
    removal: Annotated[Number, Symbol("z", "mm")], clearance: Annotated[Number, Symbol("c", "mm")]
) -> Annotated[Number, Symbol("s", "mm")]:
    """Add a clearance to the depth that is sanded off: how deep below today's surface a head is set."""
    return removal + clearance


@formula(
    symbols="p_m = (k + z²/2)/(n + z²), z = 1.2816",
    source=_WILSON,
    holds="heads taken at random; k and n as percentages",
)
def share_in_sample(
    found: Annotated[float, Symbol("k", "%")], inspected: Annotated[float, Symbol("n", "%")]
) -> Annotated[float, Symbol("p_m", "%")]:
    """Take the middle of the score interval: what a sample says of the share, drawn a little to a half."""
    middle: float = (found + Z90**2 / 2) / (inspected + Z90**2)
    return middle


@formula(
    symbols="h = z·√(k·(n − k)/n + z²/4)/(n + z²), z = 1.2816",
    source=_WILSON,
    where="half the width of the interval that holds the share eight times in ten",
    holds="heads taken at random; k and n as percentages",
)
def share_half_width(
    found: Annotated[float, Symbol("k", "%")], inspected: Annotated[float, Symbol("n", "%")]
) -> Annotated[float, Symbol("h", "%")]:
    """Take half the width of the score interval: how far off the sample may be, eight times in ten."""
    inside = found * (inspected - found) / inspected + Z90**2 / 4
    half: float = Z90 * np.sqrt(inside) / (inspected + Z90**2)
    return half
