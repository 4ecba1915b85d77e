"""How much there is to cover: the ground beside the work, what adjoins it, and what lies under it."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(
    symbols="A = l·w + n·w²",
    source="plane geometry",
    holds="a border of straight sides; n outer right angles, each filled by a square, less inner ones; others in part",
)
def border_area(
    length: Annotated[Number, Symbol("l", "m")],
    width: Annotated[Number, Symbol("w", "m")],
    corners: Annotated[Number, Symbol("n", "%")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Lay a strip along the border, add a square at each outer corner, and take off what strips share at inner ones."""
    return length * width + corners * width * width


@formula(symbols="S = A·(1 + o)", source="arithmetic", holds="o for laps between sheets and for turned edges")
def sheet_area(
    area: Annotated[Number, Symbol("A", "m2")], overlap: Annotated[Number, Symbol("o", "%")]
) -> Annotated[Number, Symbol("S", "m2")]:
    """Add the laps to the area covered: the sheet to have."""
    return area * (1 + overlap)


@formula(symbols="C = l·h", source="plane geometry", holds="a straight face covered to one height")
def cover_area(
    length: Annotated[Number, Symbol("l", "m")], height: Annotated[Number, Symbol("h", "m")]
) -> Annotated[Number, Symbol("C", "m2")]:
    """Multiply the length of what adjoins by the height it is covered to."""
    return length * height
