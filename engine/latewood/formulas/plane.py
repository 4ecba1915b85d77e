"""Areas of a floor seen from above."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(symbols="A = l·w", source="plane geometry", holds="corners are square")
def rectangle_area(
    length: Annotated[Number, Symbol("l", "m")], width: Annotated[Number, Symbol("w", "m")]
) -> Annotated[Number, Symbol("A", "m2")]:
    """Multiply length by width: the area of a rectangle."""
    return length * width


@formula(symbols="A = A_o − A_h − A_p", source="plane geometry", holds="holes and parts lie inside and do not overlap")
def net_area(
    outline_area: Annotated[Number, Symbol("A_o", "m2")],
    holes_area: Annotated[Number, Symbol("A_h", "m2")],
    parts_area: Annotated[Number, Symbol("A_p", "m2")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Take from what the outline encloses the holes and the zones that are part of it."""
    return outline_area - holes_area - parts_area
