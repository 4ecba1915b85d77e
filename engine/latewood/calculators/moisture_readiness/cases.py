"""Ways a zone may have started to dry: wetted to a depth, or as moist as it was read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latewood.formulas.drying import Boards

Array = NDArray[np.float64]


@dataclass(frozen=True, kw_only=True)
class Wood:
    """The boards of a zone, SI."""

    basic_density: float
    thickness: float
    filled: float
    film: float
    outer: float
    factors: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A way the zone may have started: wetted to a depth, or as moist as it was read."""

    depth: float
    core: float
    skin: float = 0.0
    skin_depth: float = 0.0
    factor: float = 1.0


def wetted_cases(wood: Wood, depth: float, core: float) -> list[Case]:
    """Return a wetting to a depth, from the fastest to the slowest diffusivity."""
    return [Case(depth=depth, core=core, factor=factor) for factor in reversed(wood.factors)]


def read_cases(wood: Wood, moisture: float, below: float, depth: float, *, skin: bool) -> list[Case]:
    """Return a board read at a moisture content, from the fastest to the slowest it may dry.

    A reading does not tell how deep the wood is so wet. After a wetting (``skin``) it may be the outer layer, twice as
    far, or all of it; without one it is all of it, at best twice the outer layer. ``depth`` is how far rain would go in
    later.
    """
    slow, usual, fast = wood.factors
    if moisture <= below:
        return [Case(depth=depth, core=moisture, factor=factor) for factor in (fast, usual, slow)]
    whole = wood.thickness
    deep = min(2 * wood.outer, whole)
    reaches = (wood.outer, deep, whole) if skin else (deep, whole, whole)
    return [
        Case(depth=depth, core=below, skin=moisture, skin_depth=reach, factor=factor)
        for reach, factor in zip(reaches, (fast, usual, slow), strict=True)
    ]


def boards_of(cases: list[Case], wood: Wood) -> Boards:
    """Return one board a case, side by side."""

    def column(values: list[float]) -> Array:
        return np.asarray(values, dtype=np.float64)

    same = np.ones(len(cases))
    return Boards(
        basic_density=same * wood.basic_density,
        thickness=same * wood.thickness,
        start=column([case.core for case in cases]),
        cap=same * wood.filled,
        depth=column([case.depth for case in cases]),
        film=same * wood.film,
        skin=column([case.skin for case in cases]),
        skin_depth=column([case.skin_depth for case in cases]),
        factor=column([case.factor for case in cases]),
    )
