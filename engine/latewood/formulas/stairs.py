"""Stairs: how many risers a height takes, and the faces of treads, risers and stringers."""

from __future__ import annotations

from typing import Annotated, Any

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "plane geometry"

#: A rise this much (relative) over a whole number of highest risers is still that number: 31 in at 7-3/4 in is four
#: risers, though in metres the division comes out a hair above. A fifth of a micrometre on a riser of 200 mm.
EXACT = 1e-6


def riser_count(rise: Any, highest: Any) -> Any:
    """Return the least number of equal risers none of which is higher than ``highest`` (both m; arrays pass)."""
    count = np.maximum(np.ceil(np.asarray(rise) / highest * (1 - EXACT)), 1)
    return int(count) if np.ndim(count) == 0 else count.astype(int)


@formula(symbols="r = H / ⌈H/r_max⌉", source=_SOURCE, holds="all risers equal")
def riser_height(
    rise: Annotated[Number, Symbol("H", "mm")], highest_riser: Annotated[Number, Symbol("r_max", "mm")]
) -> Annotated[Number, Symbol("r", "mm")]:
    """Share the rise among the fewest equal risers that are not too high."""
    count: Number = riser_count(rise, highest_riser)
    return rise / count


@formula(
    symbols="A_t = (⌈H/r_max⌉ - 1)·b·(g + n)", source=_SOURCE, holds="one tread less than risers: the floor is the last"
)
def tread_area(
    rise: Annotated[Number, Symbol("H", "mm")],
    highest_riser: Annotated[Number, Symbol("r_max", "mm")],
    stair_width: Annotated[Number, Symbol("b", "mm")],
    going: Annotated[Number, Symbol("g", "mm")],
    nosing: Annotated[Number, Symbol("n", "mm")],
) -> Annotated[Number, Symbol("A_t", "m2")]:
    """Make each tread as deep as its going and its nosing; the undersides are as large."""
    treads: Number = riser_count(rise, highest_riser) - 1
    return treads * stair_width * (going + nosing)


@formula(symbols="A_n = (⌈H/r_max⌉ - 1)·b·t", source=_SOURCE, holds="square edges")
def nosing_area(
    rise: Annotated[Number, Symbol("H", "mm")],
    highest_riser: Annotated[Number, Symbol("r_max", "mm")],
    stair_width: Annotated[Number, Symbol("b", "mm")],
    tread_thickness: Annotated[Number, Symbol("t", "mm")],
) -> Annotated[Number, Symbol("A_n", "m2")]:
    """Count the front edge of each tread."""
    treads: Number = riser_count(rise, highest_riser) - 1
    return treads * stair_width * tread_thickness


@formula(symbols="A_r = H·b", source=_SOURCE, holds="closed risers, one face of each")
def riser_area(
    rise: Annotated[Number, Symbol("H", "mm")], stair_width: Annotated[Number, Symbol("b", "mm")]
) -> Annotated[Number, Symbol("A_r", "m2")]:
    """Take the riser faces together: they are as high as the whole rise."""
    return rise * stair_width


@formula(symbols="L = √(H² + G²)", source="theorem of Pythagoras", holds="straight flight; cut ends not counted")
def stringer_length(
    rise: Annotated[Number, Symbol("H", "mm")], run: Annotated[Number, Symbol("G", "mm")]
) -> Annotated[Number, Symbol("L", "m")]:
    """Measure a stringer along the slope of rise and run."""
    return (rise * rise + run * run) ** 0.5


def stringer_area(
    length: float, depth: float, thickness: float, *, steps: int = 0, riser: float = 0.0, going: float = 0.0
) -> float:
    """Return the area (m2) of one stringer: two sides and two edges of a plain one.

    With ``steps`` it is a cut stringer: a triangle of riser and going leaves each side at every step, and of its edges
    only the lower one shows, the upper being under treads and risers. Lengths in m.
    """
    sides = 2 * (length * depth - steps * riser * going / 2)
    return max(sides, 0.0) + length * thickness * (1 if steps else 2)
