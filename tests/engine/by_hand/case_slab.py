"""A cedar board of 25 mm that dries in steady air of 20 degC and 50 %: by slices, where the engine sums a series."""

import math
from typing import Final

import numpy as np
from scipy import linalg, optimize

KELVIN: Final = 293.15
HUMIDITY: Final = 0.5
#: Western redcedar: specific gravity, Wood Handbook.
GRAVITY: Final = 0.31
#: Below 320 kg/m3 water fills 80 % where it gets: judgement.
FILLED: Final = 0.80
BOARD: Final = 0.025
#: The outer layer whose mean counts: judgement.
OUTER: Final = 0.006
#: Cell walls are just full at 28.8 %, and the diffusivity is taken 30 % of the way from the limit to that: a fit of the
#: engine's series, no source.
FULL: Final = 0.288
BETWEEN: Final = 0.3
#: Times the series is looked at: 1200 from a minute to 3.2e7 s, each 1.1 % later; the first one in time counts.
LOOKED_AT: Final = np.geomspace(60.0, 3.2e7, 1200)
#: The diffusivity is trusted within a factor of two (spruce-diffusivity).
FASTER: Final = (2.0, 1.0, 0.5)
#: Slices pass water to their neighbours, and the outer two to the air.
SLICES: Final = 1000
WIDE: Final = BOARD / SLICES


def settles(humidity: float) -> float:
    """Return the equilibrium moisture content at 20 degC: Wood Handbook, ch. 4, eq. 4-5, constants in degC."""
    w, k, k1, k2 = 380.2, 0.818628, 5.9612, 2.6068
    x = k * humidity
    return 18 / w * (x / (1 - x) + (k1 * x + 2 * k1 * k2 * x * x) / (1 + k1 * x + k1 * k2 * x * x))


def saturation(celsius: float) -> float:
    """Return the saturation pressure over water (Pa): WMO-No. 8, annex 4.B."""
    return 611.2 * math.exp(17.62 * celsius / (243.12 + celsius))


def too_warm(bulb: float) -> float:
    """Return the error of a wet bulb (degC) in air of 20 degC: ASHRAE Fundamentals 2017, ch. 1, eq. 33."""
    air = 0.621945 * HUMIDITY * saturation(20) / (101325 - HUMIDITY * saturation(20))
    full = 0.621945 * saturation(bulb) / (101325 - saturation(bulb))
    return (full * (2501 - 2.326 * bulb) - 1.006 * (20 - bulb)) / (2501 + 1.86 * 20 - 4.186 * bulb) - air


SETTLED: Final = settles(HUMIDITY)
#: Lewis relation, 8.2 W/m2/K in a light wind (judgement): kg/(m2 s Pa).
EXCHANGE: Final = 8.2 * 0.621945 / (101325 * 1006)
#: A film of a tenth of a millimetre (judgement) evaporates at the wet bulb, in so many s.
FILM: Final = 0.1 / (EXCHANGE * (saturation(optimize.brentq(too_warm, 5, 20)) - HUMIDITY * saturation(20)))


def outer_layer(
    limit: float, full: float, depth: float, faster: float, outer: float, seconds: np.ndarray
) -> np.ndarray:
    """Return the mean moisture of the outer layer of a board that is so wet to a depth, and settled below it."""
    # Diffusivity across the grain: Siau 1984, eqs 6.14 and 6.22.
    moisture = limit + BETWEEN * (full - limit)
    bound = 7e-6 * math.exp(-(38500 - 29000 * moisture) / (8.314 * KELVIN))
    pores = math.sqrt(1 - GRAVITY * (0.667 + moisture))
    diffusivity = faster * bound / ((1 - pores**2) * (1 - pores))
    # What a face loses by its excess, m/s: the slope of the sorption curve between the limit and what it settles at.
    slope = (optimize.brentq(lambda h: settles(h) - limit, 0.1, 0.99) - HUMIDITY) / (limit - SETTLED)
    loss = EXCHANGE * saturation(20) * slope / (1000 * GRAVITY)
    # Half a slice and the face lie between the middle of the outer slice and the air.
    passed, lost = diffusivity / WIDE**2, 1 / (WIDE / 2 / diffusivity + 1 / loss) / WIDE
    middle = np.full(SLICES, -2 * passed)
    middle[[0, -1]] = -passed - lost
    # Shapes that only fade, each at its rate.
    rates, shapes = linalg.eigh_tridiagonal(middle, np.full(SLICES - 1, passed))
    edges = np.arange(SLICES) * WIDE
    start = (full - SETTLED) * np.clip((depth - edges) / WIDE, 0, 1)
    within = np.clip((outer - edges) / WIDE, 0, 1) * WIDE / outer
    found: np.ndarray = SETTLED + np.exp(np.multiply.outer(seconds, rates)) @ ((start @ shapes) * (within @ shapes))
    return found


def washed(limit: float, depth: float, faster: float, after: float = 0.0) -> tuple[float, float]:
    """Return the outer layer so many s after a wash that went so deep, and s from the wash until it is at the limit.

    Water beyond what cell walls hold is spread inwards until they are just full; nothing dries under the film.
    """
    spread = depth * (FILLED - SETTLED) / (FULL - SETTLED)
    moisture = outer_layer(limit, FULL, spread, faster, OUTER, np.append(LOOKED_AT, max(after - FILM, 0.0)))
    return float(moisture[-1]), FILM + float(LOOKED_AT[np.argmax(moisture[:-1] <= limit)])
