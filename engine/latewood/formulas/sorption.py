"""Wood and the moisture of the air: equilibrium moisture content and back, and how much water wood can hold.

Moisture content is mass of water by oven-dry mass, a share; temperatures in K. Floats and NumPy arrays pass.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.formulas.air import ZERO_CELSIUS, Floats

_HANDBOOK = "Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010"
#: Newton steps from below on a curve that bends one way: six reach machine precision from the start below.
_NEWTON_STEPS = 8


@formula(
    symbols="M = (18/W)·[K h/(1 − K h) + (K1 K h + 2 K1 K2 K² h²)/(1 + K1 K h + K1 K2 K² h²)]; W, K, K1, K2 of t in °C",
    source=_HANDBOOK,
    where="ch. 4, eq. 4-5: two-hydrate model of Hailwood and Horrobin, constants in °C",
    holds="-1 to 54 °C, 0 to 95 % humidity, where it meets table 4-2 to 0.06 points; species differ by about 1 point, "
    "adsorption and desorption too; below freezing nobody has held it against measurements",
)
def equilibrium_moisture(
    temperature: Annotated[Floats, Symbol("t", "degC")], relative_humidity: Annotated[Floats, Symbol("h", "%")]
) -> Annotated[Floats, Symbol("M", "%")]:
    """Take the moisture content wood settles at in air of this temperature and humidity."""
    capacity, k, first, second = _constants(temperature)
    content, _ = _hydrates(k * relative_humidity, first, second)
    return content * capacity


@formula(
    symbols="h solved from M = M_eq(t, h)",
    source=_HANDBOOK,
    where="ch. 4, eq. 4-5 solved for the humidity",
    holds="as the equilibrium moisture content; at and above its value in saturated air, 1",
)
def equilibrium_humidity(
    temperature: Annotated[Floats, Symbol("t", "degC")], moisture: Annotated[Floats, Symbol("M", "%")]
) -> Annotated[Floats, Symbol("h", "%")]:
    """Solve for the humidity of the air in which wood of this moisture content neither dries nor takes up water."""
    capacity, k, first, second = _constants(temperature)
    wanted = np.minimum(moisture / capacity, _hydrates(k, first, second)[0])
    # Saturated air is the right end; the curve is steepest there, so Newton's steps from it never overshoot by much.
    x = k + 0.0 * wanted
    for _ in range(_NEWTON_STEPS):
        content, slope = _hydrates(x, first, second)
        x = np.clip(x - (content - wanted) / slope, 0.0, k)
    found: Floats = x / k
    return float(found) if np.ndim(found) == 0 else found


@formula(
    symbols="M_max = (1.54 − G)/(1.54 G), G = ρ_b/1000",
    source="Wood Handbook, FPL-GTR-282, Forest Products Laboratory 2021",
    where="ch. 4, eq. 4-3: all pores full, wood substance of 1.54",
    holds="basic density below that of wood substance",
)
def greatest_moisture(
    basic_density: Annotated[Floats, Symbol("ρ_b", "kg/m3")],
) -> Annotated[Floats, Symbol("M_max", "%")]:
    """Fill every pore with water: the most the wood can hold."""
    gravity = basic_density / 1000
    return (1.54 - gravity) / (1.54 * gravity)


def _constants(temperature: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Return 18/W, K, K1 and K2; the equation's 1800 gives per cent, 18 a share."""
    t = temperature - ZERO_CELSIUS
    molar = 349 + 1.29 * t + 0.0135 * t * t
    k = 0.805 + 0.000736 * t - 0.00000273 * t * t
    first = 6.27 - 0.00938 * t - 0.000303 * t * t
    second = 1.91 + 0.0407 * t - 0.000293 * t * t
    return 18 / molar, k, first, second


def _hydrates(x: Floats, first: Floats, second: Floats) -> tuple[Floats, Floats]:
    """Return the bracket of the equation at x = K h, and its slope by x."""
    linear, square = first * x, first * second * x * x
    top, bottom = linear + 2 * square, 1 + linear + square
    content = x / (1 - x) + top / bottom
    slope = 1 / (1 - x) ** 2 + (first + 4 * first * second * x) / bottom
    slope = slope - top * (first + 2 * first * second * x) / bottom**2
    return content, slope
