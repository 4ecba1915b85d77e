"""How far an invented oil goes: the scratches fill up first, then each coat finds fuller wood."""

from __future__ import annotations

from typing import Final

from latewood.plugin import Number

#: By how much each coat goes further than the one before it, as a share of the first. Invented.
GAIN: Final = 0.5

#: Scratches of triangular section hold half their depth. Geometry.
FILL: Final = 0.5


def filling_up(*, rate: Number, coat: int, roughness: float) -> Number:
    """Return the spreading rate (1/m) of one coat.

    The first coat fills the scratches too, so that the volume on one unit of area is 1/rate + roughness/2. Later
    coats find them full, and go further by half of the first coat's rate each. Floats, arrays and uncertain
    quantities all pass, because nothing here asks what a number is.
    """
    scratches = FILL * roughness * (coat == 1)
    return (1 + GAIN * (coat - 1)) / (1 / rate + scratches)
