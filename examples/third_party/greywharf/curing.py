"""How an invented wax oil cures: twice as fast for every ten kelvins, and hardly at all in damp air."""

from __future__ import annotations

from typing import Final

import numpy as np

from latewood.plugin import Floats, cure

#: Kelvins that double the pace. Invented.
DOUBLING: Final = 10.0

#: Above this humidity the wax stays soft: the pace falls to a quarter. Invented.
DAMP: Final = 0.80


def wharf_clock(
    *, surface_temperature: Floats, air_temperature: Floats, relative_humidity: Floats, coldest: float
) -> tuple[Floats, Floats]:
    """Return hours at 23 °C and 50 % for each hour, by a slow clock and a fast one.

    The fast clock is the doubling alone; the slow one knows of damp. Floats and arrays of any number of decks pass.
    """
    pace = 2.0 ** ((surface_temperature - cure.STANDARD_TEMPERATURE) / DOUBLING)
    fast = np.where(surface_temperature < coldest, 0.0, pace)
    return np.where(relative_humidity > DAMP, fast / 4, fast), fast
