"""Open work that is measured by its overall size: slats, two-layer lattice, and boards seen on several sides."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "plane geometry"


@formula(
    symbols="k = 4·f - 2·f² + 4·t/(w + o), f = w/(w + o)",
    source=_SOURCE,
    holds="two layers crossing at right angles, touching",
)
def lattice_factor(
    slat_width: Annotated[Number, Symbol("w", "mm")],
    opening: Annotated[Number, Symbol("o", "mm")],
    slat_thickness: Annotated[Number, Symbol("t", "mm")],
) -> Annotated[Number, Symbol("k", "%")]:
    """Count two faces and two edges of each layer, less the faces that lie on each other where slats cross."""
    share = slat_width / (slat_width + opening)
    return 4 * share - 2 * share * share + 4 * slat_thickness / (slat_width + opening)


@formula(
    symbols="k = 2·(w + t)/(w + o)", source=_SOURCE, holds="one layer of slats, all four faces; rails behind them extra"
)
def slat_factor(
    slat_width: Annotated[Number, Symbol("w", "mm")],
    opening: Annotated[Number, Symbol("o", "mm")],
    slat_thickness: Annotated[Number, Symbol("t", "mm")],
) -> Annotated[Number, Symbol("k", "%")]:
    """Spread the girth of a picket or slat over its width and opening."""
    return 2 * (slat_width + slat_thickness) / (slat_width + opening)


@formula(symbols="A = k·l·h", source=_SOURCE, holds="l and h overall, openings not deducted")
def open_work_area(
    factor: Annotated[Number, Symbol("k", "%")],
    length: Annotated[Number, Symbol("l", "m")],
    height: Annotated[Number, Symbol("h", "m")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Multiply the overall area of one side by the factor of the open work."""
    return factor * length * height


@formula(
    symbols="A = l·(w + t)", source=_SOURCE, holds="outer face and lower edge; the upper edge and the back are covered"
)
def fascia_area(
    length: Annotated[Number, Symbol("l", "m")],
    board_width: Annotated[Number, Symbol("w", "mm")],
    thickness: Annotated[Number, Symbol("t", "mm")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Count the outer face and the lower edge of a fascia."""
    return length * (board_width + thickness)


@formula(symbols="A = 2·l·w + 2·t·(l + w)", source=_SOURCE, holds="a closed seat: both faces and all edges; legs extra")
def bench_area(
    length: Annotated[Number, Symbol("l", "m")],
    depth: Annotated[Number, Symbol("w", "m")],
    thickness: Annotated[Number, Symbol("t", "mm")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Count a bench seat above, below and round its edges."""
    return 2 * length * depth + 2 * thickness * (length + depth)


@formula(symbols="A = 2·(a + b)·h + a·b", source=_SOURCE, holds="a free-standing post with its top")
def post_area(
    post_width: Annotated[Number, Symbol("a", "mm")],
    post_depth: Annotated[Number, Symbol("b", "mm")],
    height: Annotated[Number, Symbol("h", "m")],
) -> Annotated[Number, Symbol("A", "m2")]:
    """Count the four sides of a post and its top."""
    return 2 * (post_width + post_depth) * height + post_width * post_depth
