"""Moist air: saturation over water and over ice, dew point and frost point, wet bulb and ice bulb.

Temperatures in K, pressures in Pa, relative humidity as a share. Relative humidity always refers to saturation over
water, below freezing too, as weather services report it. Floats and NumPy arrays pass.
"""

from __future__ import annotations

from typing import Annotated, Final

import numpy as np
from numpy.typing import NDArray

from latewood.declare import Symbol, formula

Floats = float | NDArray[np.float64]

ZERO_CELSIUS = 273.15  # K, by definition of the degree Celsius

_WMO = "WMO-No. 8, Guide to Meteorological Instruments and Methods of Observation, vol. I (2018)"
#: Pressure of the standard atmosphere at sea level (Pa).
SEA_LEVEL: Final = 101325.0
# Magnus form with Sonntag's coefficients, WMO-No. 8 annex 4.B; the pressure at 0 °C is the same over water and ice.
_AT_ZERO = 611.2  # Pa
_WATER = (17.62, 243.12)  # 1, K
_ICE = (22.46, 272.62)  # 1, K
#: Molar mass of water over that of dry air (ASHRAE Fundamentals 2017, ch. 1: 18.015268/28.966).
_MASS_RATIO = 0.621945
#: Halvings of an interval that narrow any bracket of a bulb temperature to well below a millikelvin.
_HALVINGS = 40


@formula(
    symbols="e_w = 611.2·exp(17.62 t/(243.12 + t)), t in °C",
    source=_WMO,
    where="annex 4.B, saturation over water in the pure phase",
    holds="-45 to 60 °C, below 0 °C over supercooled water; within 0.31 % of IAPWS from 0.5 to 50 °C; "
    "moist air at sea level holds about 0.4 % more (enhancement factor)",
)
def saturation_pressure_over_water(
    temperature: Annotated[Floats, Symbol("t", "degC")],
) -> Annotated[Floats, Symbol("e_w", "Pa")]:
    """Take the vapour pressure at which air over water is saturated."""
    return _magnus(temperature, _WATER)


@formula(
    symbols="e_i = 611.2·exp(22.46 t/(272.62 + t)), t in °C",
    source=_WMO,
    where="annex 4.B, saturation over ice in the pure phase; read second-hand",
    holds="-65 to 0 °C",
)
def saturation_pressure_over_ice(
    temperature: Annotated[Floats, Symbol("t", "degC")],
) -> Annotated[Floats, Symbol("e_i", "Pa")]:
    """Take the vapour pressure at which air over ice is saturated."""
    return _magnus(temperature, _ICE)


@formula(
    symbols="e = h·e_w(t)",
    source=_WMO,
    where="definition of relative humidity: with respect to water at all temperatures",
    holds="as the saturation pressure over water",
)
def vapour_pressure(
    temperature: Annotated[Floats, Symbol("t", "degC")], relative_humidity: Annotated[Floats, Symbol("h", "%")]
) -> Annotated[Floats, Symbol("e", "Pa")]:
    """Take the share of the saturation pressure: the pressure of the vapour in the air."""
    return relative_humidity * _magnus(temperature, _WATER)


@formula(
    symbols="t_d = 243.12 g/(17.62 − g), g = ln h + 17.62 t/(243.12 + t), t in °C",
    source=_WMO,
    where="annex 4.B, the saturation pressure over water solved for the temperature",
    holds="over water also below 0 °C, where dew is supercooled; humidity above 0",
)
def dew_point(
    temperature: Annotated[Floats, Symbol("t", "degC")], relative_humidity: Annotated[Floats, Symbol("h", "%")]
) -> Annotated[Floats, Symbol("t_d", "degC")]:
    """Solve for the temperature at which this air is saturated over water: the dew point."""
    return _saturated_at(temperature, relative_humidity, _WATER)


@formula(
    symbols="t_f = 272.62 g/(22.46 − g), g = ln h + 17.62 t/(243.12 + t), t in °C",
    source=_WMO,
    where="annex 4.B, the saturation pressure over ice solved for the temperature",
    holds="results of at most 0 °C: above, there is no ice; humidity above 0, over water",
)
def frost_point(
    temperature: Annotated[Floats, Symbol("t", "degC")], relative_humidity: Annotated[Floats, Symbol("h", "%")]
) -> Annotated[Floats, Symbol("t_f", "degC")]:
    """Solve for the temperature at which this air is saturated over ice: the frost point."""
    return _saturated_at(temperature, relative_humidity, _ICE)


@formula(
    symbols="w = (w_s·(2501 − 2.326 t_w) − 1.006 (t − t_w))/(2501 + 1.86 t − 4.186 t_w), solved for t_w in °C; "
    "w = 0.622 e/(p − e), e = h e_s(t)",
    source="ASHRAE Handbook, Fundamentals 2017",
    where="ch. 1, eq. 33: adiabatic saturation over water; recalled, and held against two libraries",
    holds="0 to 60 °C; over water also where the result is below 0 °C",
)
def wet_bulb(
    temperature: Annotated[Floats, Symbol("t", "degC")],
    relative_humidity: Annotated[Floats, Symbol("h", "%")],
    pressure: Annotated[Floats, Symbol("p", "Pa")],
) -> Annotated[Floats, Symbol("t_w", "degC")]:
    """Solve for the temperature that water takes by evaporating into this air: the wet bulb."""
    return _bulb(temperature, relative_humidity, pressure, _WATER, (2501.0, 2.326, 4.186))


@formula(
    symbols="w = (w_s·(2830 − 0.24 t_i) − 1.006 (t − t_i))/(2830 + 1.86 t − 2.1 t_i), solved for t_i in °C; "
    "w = 0.622 e/(p − e), e = h e_s(t)",
    source="ASHRAE Handbook, Fundamentals 2017",
    where="ch. 1, eq. 35: adiabatic saturation over ice; recalled, and held against two libraries",
    holds="results of at most 0 °C: above, there is no ice",
)
def ice_bulb(
    temperature: Annotated[Floats, Symbol("t", "degC")],
    relative_humidity: Annotated[Floats, Symbol("h", "%")],
    pressure: Annotated[Floats, Symbol("p", "Pa")],
) -> Annotated[Floats, Symbol("t_i", "degC")]:
    """Solve for the temperature that ice takes by evaporating into this air: the ice bulb."""
    return _bulb(temperature, relative_humidity, pressure, _ICE, (2830.0, 0.24, 2.1))


@formula(
    symbols="p = 101325 (1 − 2.25577e-5 z)^5.2559, z in m",
    source="ASHRAE Handbook, Fundamentals 2017",
    where="ch. 1, eq. 3: the standard atmosphere",
    holds="-500 to 11000 m",
)
def standard_pressure(
    elevation: Annotated[Floats, Symbol("z", "m")],
) -> Annotated[Floats, Symbol("p", "Pa")]:
    """Take the pressure of the standard atmosphere at this height."""
    return SEA_LEVEL * (1 - 2.25577e-5 * elevation) ** 5.2559


def _magnus(temperature: Floats, coefficients: tuple[float, float]) -> Floats:
    slope, offset = coefficients
    t = temperature - ZERO_CELSIUS
    saturated: Floats = _AT_ZERO * np.exp(slope * t / (offset + t))
    return saturated


def _saturated_at(temperature: Floats, relative_humidity: Floats, coefficients: tuple[float, float]) -> Floats:
    slope, offset = coefficients
    t = temperature - ZERO_CELSIUS
    g = np.log(relative_humidity) + _WATER[0] * t / (_WATER[1] + t)
    found: Floats = ZERO_CELSIUS + offset * g / (slope - g)
    return found


def _bulb(
    temperature: Floats,
    relative_humidity: Floats,
    pressure: Floats,
    coefficients: tuple[float, float],
    heats: tuple[float, float, float],
) -> Floats:
    """Halve the interval from far below the dew point up to the air; the excess rises with the bulb temperature."""
    latent, falling, sensible = heats
    t = temperature - ZERO_CELSIUS
    humid = _mixing_ratio(relative_humidity * _magnus(temperature, _WATER), pressure)
    below, above = np.minimum(t, _saturated_at(temperature, 1e-4, _WATER) - ZERO_CELSIUS), t + 0.0 * humid
    for _ in range(_HALVINGS):
        middle = (below + above) / 2
        saturated = _mixing_ratio(_magnus(middle + ZERO_CELSIUS, coefficients), pressure)
        cooled = saturated * (latent - falling * middle) - 1.006 * (t - middle)
        wetter = cooled >= humid * (latent + 1.86 * t - sensible * middle)
        below, above = np.where(wetter, below, middle), np.where(wetter, middle, above)
    found: Floats = ZERO_CELSIUS + (below + above) / 2
    # A float in gives a float out, so that a single value stays one.
    return float(found) if np.ndim(found) == 0 else found


def _mixing_ratio(vapour: Floats, pressure: Floats) -> Floats:
    return _MASS_RATIO * vapour / (pressure - vapour)
