"""How much wood is left: above the fasteners, and in a board."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(
    symbols="c = c_0 − z",
    source="arithmetic: what is taken off the face is taken off the cover",
    holds="below zero the heads stand proud and destroy the abrasive",
)
def cover_left(
    fastener_cover: Annotated[Number, Symbol("c_0", "mm")], removal: Annotated[Number, Symbol("z", "mm")]
) -> Annotated[Number, Symbol("c", "mm")]:
    """Take the planned removal from the wood above the heads: what is left above the fasteners."""
    return fastener_cover - removal


@formula(
    symbols="t = t_0 − z − f",
    source="arithmetic: a furrow is wood that is gone already",
    holds="where the furrow is deepest",
)
def thickness_left(
    thickness: Annotated[Number, Symbol("t_0", "mm")],
    removal: Annotated[Number, Symbol("z", "mm")],
    furrow_depth: Annotated[Number, Symbol("f", "mm")],
) -> Annotated[Number, Symbol("t", "mm")]:
    """Take removal and furrow from the thickness: the board that is left where it is thinnest."""
    return thickness - removal - furrow_depth
