"""Edge work: the length along which a floor meets something that stands on it, so that only an edge tool gets there.

It is not the outline. Walls, the line under a bottom rail, every post, fixed benches, hatches and planters are edge
work; an edge the machine can run over is not.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "plane geometry"


@formula(
    symbols="E = W + R + P + O",
    source="common practice, no source: what an edge tool must follow",
    holds="free edges and openings already left out; nothing counted twice",
)
def obstacle_edge(
    walls: Annotated[Number, Symbol("W", "m")],
    rails: Annotated[Number, Symbol("R", "m")],
    posts: Annotated[Number, Symbol("P", "m")],
    obstacles: Annotated[Number, Symbol("O", "m")],
) -> Annotated[Number, Symbol("E", "m")]:
    """Add the length of walls, under bottom rails, round posts, and round whatever is fixed on the floor."""
    return walls + rails + posts + obstacles


@formula(symbols="S = E·b - K", source=_SOURCE, holds="K = b² for each inside corner, where two strips overlap")
def edge_strip_area(
    obstacle_edge: Annotated[Number, Symbol("E", "m")],
    pad_width: Annotated[Number, Symbol("b", "mm")],
    corner_overlap: Annotated[Number, Symbol("K", "cm2")],
) -> Annotated[Number, Symbol("S", "m2")]:
    """Make the strip as long as the edge work and one pad wide, less what two strips share in a corner."""
    return obstacle_edge * pad_width - corner_overlap
