"""Resistance meters: what a reading means at the wood's temperature and in this species.

Readings and moisture contents are shares of the oven-dry mass, temperatures in K. Temperature comes first, then the
species. Floats and NumPy arrays pass.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.formulas.air import ZERO_CELSIUS, Floats


@formula(
    symbols="M = R + c·(t_cal − t)/(10 °F)",
    source="Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010",
    where="ch. 13, resistance meters: about 0.5 points for each 10 °F (5.6 K), added when the wood is colder",
    holds="readings of 6 to 30 %; a rule of thumb, right to about 1 point near the calibration temperature",
)
def corrected_by_rule(
    reading: Annotated[Floats, Symbol("R", "%")],
    wood_temperature: Annotated[Floats, Symbol("t", "degC")],
    calibration_temperature: Annotated[Floats, Symbol("t_cal", "degC")],
    step: Annotated[Floats, Symbol("c", "%")],
) -> Annotated[Floats, Symbol("M", "%")]:
    """Add half a point for each 10 °F the wood is colder than the meter's calibration, take it off when warmer."""
    return reading + step * (calibration_temperature - wood_temperature) / (10 / 1.8)


@formula(
    symbols="M = (R + 0.567 − 0.0260 x + 0.000051 x²)/(0.881·1.0056^x), x = t + 2.8; R and M in %, t in °C",
    source="Pfaff and Garrahan 1986, Forest Products Journal 36(3)",
    where="the temperature part, for a meter on the Douglas-fir scale; constants recalled, not read",
    holds="readings of 6 to 30 %, -10 to 40 °C; neutral at 20 °C",
)
def corrected_by_pfaff_garrahan(
    reading: Annotated[Floats, Symbol("R", "%")], wood_temperature: Annotated[Floats, Symbol("t", "degC")]
) -> Annotated[Floats, Symbol("M", "%")]:
    """Correct a reading for the wood's temperature by a curve fitted to Canadian species."""
    x = wood_temperature - ZERO_CELSIUS + 2.8
    return (100 * reading + 0.567 - 0.0260 * x + 0.000051 * x * x) / (0.881 * 1.0056**x) / 100


@formula(
    symbols="M = M_t + d",
    source="arithmetic: the meaning of a correction",
    holds="d is the species' correction at this reading, from its record",
)
def corrected_for_species(
    reading: Annotated[Floats, Symbol("M_t", "%")], correction: Annotated[Floats, Symbol("d", "%")]
) -> Annotated[Floats, Symbol("M", "%")]:
    """Add the species' correction to a reading already corrected for temperature."""
    return reading + correction


def tabulated(reading: float, points: Mapping[str, float]) -> float:
    """Return a correction between the readings it is tabulated for, in per cent as keys; beyond them the last one."""
    keys = sorted(points, key=int)
    return float(np.interp(100 * reading, [float(key) for key in keys], [points[key] for key in keys]))


def read_on_scale(reading: float, scale: Mapping[str, float], species: Mapping[str, float]) -> float | None:
    """Return the moisture content at which this species has the resistance the meter's scale stands for.

    Both are columns of resistance (ohm) by moisture content in per cent. Between rows the logarithm of the resistance
    is straight. None outside the rows, as the method ends there.

    James 1975, Electric moisture meters for wood, FPL-GTR-6, table of resistance.
    """
    moisture, logs = _rows(scale)
    percent = 100 * reading
    if not moisture[0] <= percent <= moisture[-1]:
        return None
    wanted = float(np.interp(percent, moisture, logs))
    own, falling = _rows(species)
    if not falling[-1] <= wanted <= falling[0]:
        return None
    return float(np.interp(-wanted, [-value for value in falling], own)) / 100


def _rows(column: Mapping[str, float]) -> tuple[list[float], list[float]]:
    keys = sorted(column, key=int)
    return [float(key) for key in keys], [float(np.log(column[key])) for key in keys]
