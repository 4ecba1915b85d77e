"""How boards cover a floor, by area alone: faces, long edges, gaps and fasteners, without the effects of the rim.

What a given outline takes, board by board, is cut in `strips`.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "plane geometry"
_HOLDS = "boards of one width at one gap; the rim is not counted"


@formula(symbols="A_f = A·w / (w + g)", source=_SOURCE, holds=_HOLDS)
def board_face_area(
    floor_area: Annotated[Number, Symbol("A", "m2")],
    board_width: Annotated[Number, Symbol("w", "mm")],
    gap: Annotated[Number, Symbol("g", "mm")],
) -> Annotated[Number, Symbol("A_f", "m2")]:
    """Take the share of the floor that is not gap: the upper faces."""
    return floor_area * board_width / (board_width + gap)


@formula(symbols="L_g = A / (w + g)", source=_SOURCE, holds=_HOLDS)
def gap_length(
    floor_area: Annotated[Number, Symbol("A", "m2")],
    board_width: Annotated[Number, Symbol("w", "mm")],
    gap: Annotated[Number, Symbol("g", "mm")],
) -> Annotated[Number, Symbol("L_g", "m")]:
    """Divide the floor by the pitch: each board brings one gap of its own length."""
    return floor_area / (board_width + gap)


@formula(symbols="A_e = 2·t·L_g", source=_SOURCE, holds="both long edges of every gap; edges are square")
def gap_face_area(
    gap_length: Annotated[Number, Symbol("L_g", "m")], thickness: Annotated[Number, Symbol("t", "mm")]
) -> Annotated[Number, Symbol("A_e", "m2")]:
    """Give every gap two faces, each as high as the boards are thick."""
    return 2 * thickness * gap_length


@formula(symbols="A_1 = (w + g)·s / 2", source=_SOURCE, holds=f"two fasteners at each crossing; {_HOLDS}")
def floor_area_per_fastener(
    board_width: Annotated[Number, Symbol("w", "mm")],
    gap: Annotated[Number, Symbol("g", "mm")],
    joist_spacing: Annotated[Number, Symbol("s", "mm")],
) -> Annotated[Number, Symbol("A_1", "cm2")]:
    """Halve the floor of one crossing of board and joist: it has two fasteners."""
    return (board_width + gap) * joist_spacing / 2


@formula(
    symbols="A_g = A·(1 + 2·d/s)", source=_SOURCE, holds="grooves with upright sides; d their depth, s their spacing"
)
def grooved_face_area(
    plain_area: Annotated[Number, Symbol("A", "m2")],
    groove_depth: Annotated[Number, Symbol("d", "mm")],
    groove_spacing: Annotated[Number, Symbol("s", "mm")],
) -> Annotated[Number, Symbol("A_g", "m2")]:
    """Add the two sides of each groove to the face."""
    return plain_area * (1 + 2 * groove_depth / groove_spacing)
