"""Where the sun stands, and what it sends down on a level deck: clear sky, cloud, and how much of it is beam.

Times in s since 1970-01-01 UTC, angles in rad, irradiance in W/m2. Floats and NumPy arrays pass.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.formulas.air import Floats

_ALMANAC = "Michalsky 1988, The Astronomical Almanac's algorithm for approximate solar position, Solar Energy 40(3)"
_HOLDS = "1950 to 2050, within 0.015 degrees of NREL's algorithm; no refraction"

#: 2000-01-01 12:00 UTC, the day the almanac counts from, in s since 1970.
_EPOCH = 946_728_000.0
_DAY = 86_400.0
#: Mean irradiance beyond the atmosphere, W/m2 (Kopp and Lean 2011, Geophysical Research Letters 38, L01706: 1360.8).
SOLAR_CONSTANT = 1360.8
#: Below this sine of the elevation the clearness index means nothing; pvlib limits the same at 0.065.
_LOWEST_SINE = 0.065


@formula(
    symbols="sin a = sin δ·sin φ + cos δ·cos φ·cos H; δ from T, H from T and λ",
    source=_ALMANAC,
    where="the almanac's series for the sun's longitude, and the altitude from declination and hour angle",
    holds=_HOLDS,
)
def solar_elevation(
    time: Annotated[Floats, Symbol("T", "s")],
    latitude: Annotated[Floats, Symbol("φ", "deg")],
    longitude: Annotated[Floats, Symbol("λ", "deg")],
) -> Annotated[Floats, Symbol("a", "deg")]:
    """Find how high the sun stands above the horizon, negative below it."""
    declination, hour_angle = _place_of_sun(time, longitude)
    height: Floats = np.arcsin(
        np.sin(declination) * np.sin(latitude) + np.cos(declination) * np.cos(latitude) * np.cos(hour_angle)
    )
    return height


@formula(
    symbols="tan A = −sin H·cos δ/(cos φ·sin δ − sin φ·cos δ·cos H); δ from T, H from T and λ",
    source=_ALMANAC,
    where="the azimuth from declination and hour angle",
    holds=_HOLDS,
)
def solar_azimuth(
    time: Annotated[Floats, Symbol("T", "s")],
    latitude: Annotated[Floats, Symbol("φ", "deg")],
    longitude: Annotated[Floats, Symbol("λ", "deg")],
) -> Annotated[Floats, Symbol("A", "deg")]:
    """Find in which direction the sun stands, from north clockwise."""
    declination, hour_angle = _place_of_sun(time, longitude)
    east = -np.sin(hour_angle) * np.cos(declination)
    north = np.cos(latitude) * np.sin(declination) - np.sin(latitude) * np.cos(declination) * np.cos(hour_angle)
    turned: Floats = np.arctan2(east, north) % (2 * np.pi)
    return turned


@formula(
    symbols="G_c = 1098·sin a·exp(−0.059/sin a)",
    source="Haurwitz 1945, Insolation in relation to cloudiness and cloud density, Journal of Meteorology 2",
    where="clear-sky global irradiance, as pvlib 0.16 codes it",
    holds="clear sky of middling haze, level surface; models of clear sky differ by 8 %",
)
def clear_sky_irradiance(
    elevation: Annotated[Floats, Symbol("a", "deg")],
) -> Annotated[Floats, Symbol("G_c", "W/m2")]:
    """Estimate what sun and clear sky send down on a level surface."""
    sine = np.sin(elevation)
    up = np.maximum(sine, 1e-3)
    found: Floats = np.where(sine > 0, 1098.0 * up * np.exp(-0.059 / up), 0.0)
    return _plain(found)


@formula(
    symbols="G = G_c·(1 − 0.75 c^3.4)",
    source="Kasten and Czeplak 1980, Solar and terrestrial radiation dependent on cloud, Solar Energy 24(2)",
    where="global irradiance by total cloud amount; recalled",
    holds="hourly means; broken cloud can exceed the clear sky for minutes",
)
def irradiance_under_cloud(
    clear_sky: Annotated[Floats, Symbol("G_c", "W/m2")], cloud: Annotated[Floats, Symbol("c", "%")]
) -> Annotated[Floats, Symbol("G", "W/m2")]:
    """Take off what cloud keeps back."""
    return clear_sky * (1 - 0.75 * cloud**3.4)


@formula(
    symbols="k = G/(G_0·E·sin a), E from T",
    source="Iqbal 1983, An Introduction to Solar Radiation, Academic Press",
    where="clearness index; the eccentricity by Spencer 1971; recalled",
    holds="sine of the elevation taken as at least 0.065, as pvlib does; at most 2",
)
def clearness_index(
    irradiance: Annotated[Floats, Symbol("G", "W/m2")],
    elevation: Annotated[Floats, Symbol("a", "deg")],
    time: Annotated[Floats, Symbol("T", "s")],
) -> Annotated[Floats, Symbol("k", "%")]:
    """Divide what arrives by what comes in above the air: how clear the sky is."""
    # Spencer counts the angle of the year from the first of January, a year of 365 days.
    angle = 2 * np.pi * (((time - _EPOCH) / _DAY + 0.5) % 365.25) / 365.0
    eccentricity = (
        1.00011
        + 0.034221 * np.cos(angle)
        + 0.00128 * np.sin(angle)
        + 0.000719 * np.cos(2 * angle)
        + 0.000077 * np.sin(2 * angle)
    )
    above = SOLAR_CONSTANT * eccentricity * np.maximum(np.sin(elevation), _LOWEST_SINE)
    return _plain(np.clip(irradiance / above, 0.0, 2.0))


@formula(
    symbols="k_d = 0.9511 − 0.1604 k + 4.388 k² − 16.638 k³ + 12.336 k⁴; 1 − 0.09 k up to k = 0.22, 0.165 from 0.8",
    source="Erbs, Klein and Duffie 1982, Estimation of the diffuse radiation fraction, Solar Energy 28(4)",
    where="hourly diffuse fraction by clearness index",
    holds="hourly means, level surface",
)
def diffuse_share(clearness: Annotated[Floats, Symbol("k", "%")]) -> Annotated[Floats, Symbol("k_d", "%")]:
    """Find what share of the light comes from the whole sky, and not straight from the sun."""
    k = np.asarray(clearness, dtype=float)
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return _plain(np.where(k <= 0.22, 1 - 0.09 * k, np.where(k <= 0.8, middle, 0.165)))


@formula(
    symbols="G_b = G·(1 − s·(1 − k_d))",
    source="balance of light: shade keeps off the beam, not the sky",
    holds="level boards in shade alike, dappled or full; what shades them hides little of the sky",
)
def irradiance_in_shade(
    irradiance: Annotated[Floats, Symbol("G", "W/m2")],
    diffuse: Annotated[Floats, Symbol("k_d", "%")],
    shade: Annotated[Floats, Symbol("s", "%")],
) -> Annotated[Floats, Symbol("G_b", "W/m2")]:
    """Take off the share of the beam that shade keeps away: what reaches the boards."""
    return irradiance * (1 - shade * (1 - diffuse))


def _place_of_sun(time: Floats, longitude: Floats) -> tuple[Floats, Floats]:
    """Return declination and hour angle."""
    days = (time - _EPOCH) / _DAY
    mean_longitude = 280.460 + 0.9856474 * days
    anomaly = np.radians(357.528 + 0.9856003 * days)
    ecliptic = np.radians(mean_longitude + 1.915 * np.sin(anomaly) + 0.020 * np.sin(2 * anomaly))
    tilt = np.radians(23.439 - 4e-7 * days)
    ascension = np.arctan2(np.cos(tilt) * np.sin(ecliptic), np.cos(ecliptic))
    declination = np.arcsin(np.sin(tilt) * np.sin(ecliptic))
    # Hours of the day by the stars, from days alone: the almanac's 0.0657098242 a day and the clock's own hours.
    hours = 6.697375 + 0.0657098242 * days + ((days + 0.5) % 1.0) * 24.0
    return declination, np.radians(hours * 15.0) + longitude - ascension


def _plain(found: Floats) -> Floats:
    return float(found) if np.ndim(found) == 0 else found
