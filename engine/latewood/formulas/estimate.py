"""How long does work take? Three guesses: at best, most likely, at worst."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula

_SOURCE = (
    "D. G. Malcolm, J. H. Roseboom, C. E. Clark and W. Fazar 1959, Application of a technique for research and "
    "development program evaluation, Operations Research 7(5)"
)


@formula(symbols="m = (a + 4·b + c)/6", source=_SOURCE, holds="three honest guesses, a beta distribution between them")
def estimate_mean(
    least: Annotated[float, Symbol("a", "h")],
    likely: Annotated[float, Symbol("b", "h")],
    most: Annotated[float, Symbol("c", "h")],
) -> Annotated[float, Symbol("m", "h")]:
    """Weigh the likely time four times beside the two ends."""
    return (least + 4 * likely + most) / 6


@formula(symbols="s = (c − a)/6", source=_SOURCE, holds="as the mean")
def estimate_deviation(
    least: Annotated[float, Symbol("a", "h")], most: Annotated[float, Symbol("c", "h")]
) -> Annotated[float, Symbol("s", "h")]:
    """Take a sixth of the way between the ends."""
    return (most - least) / 6
