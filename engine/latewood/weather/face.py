"""What the weather does to the face of the boards: light, temperature, and how far it is from dew."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from latewood.formulas import air, board_heat, sun, surface
from latewood.messages import clause
from latewood.provenance import Ledger, Sourced
from latewood.uncertainty import spread
from latewood.weather.hours import Array, Flags, Hours
from latewood.weather.resolve import Place

Exposure = Literal["open", "roofed", "low-clearance"]
Rule = Literal["heat-balance", "air"]

#: Wind where none was recorded: light air, force 1 of the Beaufort scale is 0.3 to 1.5 m/s. An assumption.
LIGHT_AIR: Final = 1.0


@dataclass(frozen=True, kw_only=True)
class Slab:
    """What of a board stores heat: thickness (m), density (kg/m3) and moisture content."""

    thickness: float
    density: float
    moisture: float


@dataclass(frozen=True, kw_only=True)
class Face:
    """The face of the boards at every step: K, W/m2, Pa. ``spread`` is its temperature above the dew point, in K.

    ``board`` is the mean temperature of the board where the step begins; NaN where the boards are as warm as the air.
    """

    temperature: Array
    dew_point: Array
    spread: Array
    irradiance: Array
    daylight: Flags
    measured: Flags
    board: Array


def face_of(
    hours: Hours,
    place: Place,
    ledger: Ledger,
    *,
    absorptance: Sourced,
    emissivity: Sourced,
    slab: Slab,
    shade: Array | float = 0.0,
    exposure: Exposure = "open",
    below: float | None = None,
    rule: Rule = "heat-balance",
) -> Face:
    """Return temperature, light and dew point of the boards at every step.

    ``shade`` is the share of the sun's beam that is kept off the boards, at every step. ``below`` is what their under
    side gives off, W/m2/K; left out, it radiates to ground as warm as the air. Where temperatures were measured on the
    boards they hold. A roof, the rule ``air``, and a place that is not named leave the boards as warm as the air.
    Findings say what was assumed.
    """
    elevation = _elevation(hours, place)
    light = _light(hours, elevation, exposure, shade)
    damp = _dew_point(hours)
    by_air = rule == "air" or exposure == "roofed"
    if not by_air and light is None:
        by_air = True
        ledger.find("board-temperature-unknown", pointer="/latitude")
    if by_air or light is None:
        warm, board = hours.air_temperature, np.full(len(hours), np.nan)
    else:
        warm, board = _balance(hours, damp, light, absorptance, emissivity, below, slab, ledger)
    measured = np.zeros(len(hours), dtype=bool)
    if hours.surface_temperature is not None:
        measured = ~np.isnan(hours.surface_temperature)
        warm = np.where(measured, hours.surface_temperature, warm)
    bright = np.zeros(len(hours)) if light is None else light
    return Face(
        temperature=warm,
        dew_point=damp,
        spread=warm - damp,
        irradiance=bright,
        daylight=_daylight(hours, elevation),
        measured=measured,
        board=board,
    )


def _elevation(hours: Hours, place: Place) -> Array | None:
    if place.latitude is None or place.longitude is None:
        return None
    up: Array = sun.solar_elevation(time=hours.middles, latitude=place.latitude, longitude=place.longitude)
    return up


def _light(hours: Hours, elevation: Array | None, exposure: Exposure, shade: Array | float) -> Array | None:
    """Return the irradiance on the boards; None where neither a record nor the place tells of it."""
    bright = hours.irradiance
    if elevation is not None and (bright is None or np.isnan(bright).any()):
        cloud = np.zeros(len(hours)) if hours.cloud is None else np.nan_to_num(hours.cloud)
        clear = sun.clear_sky_irradiance(elevation=elevation)
        reckoned = sun.irradiance_under_cloud(clear_sky=clear, cloud=cloud)
        bright = reckoned if bright is None else np.where(np.isnan(bright), reckoned, bright)
    if bright is None:
        return None
    if exposure == "roofed":
        return np.zeros(len(hours))
    if elevation is None or not np.any(shade):
        return bright
    clearness = sun.clearness_index(irradiance=bright, elevation=elevation, time=hours.middles)
    diffuse = sun.diffuse_share(clearness=clearness)
    reached: Array = sun.irradiance_in_shade(irradiance=bright, diffuse=diffuse, shade=shade)
    return reached


def _dew_point(hours: Hours) -> Array:
    """Return the dew point as recorded, else from the humidity."""
    reckoned = dew_point(hours.air_temperature, hours.relative_humidity)
    if hours.dew_point is None:
        return reckoned
    return np.where(np.isnan(hours.dew_point), reckoned, hours.dew_point)


def dew_point(air_temperature: Array, relative_humidity: Array) -> Array:
    """Return the dew point; below 0 °C the frost point, which is what forms on boards then."""
    here = {"temperature": air_temperature, "relative_humidity": relative_humidity}
    dew: Array = air.dew_point(**here)
    if not (dew < air.ZERO_CELSIUS).any():
        return dew
    found: Array = np.where(dew >= air.ZERO_CELSIUS, dew, air.frost_point(**here))
    return found


def _balance(
    hours: Hours,
    damp: Array,
    light: Array,
    absorptance: Sourced,
    emissivity: Sourced,
    below: float | None,
    slab: Slab,
    ledger: Ledger,
) -> tuple[Array, Array]:
    wind, cloud = hours.wind_speed, hours.cloud
    if wind is None:
        ledger.use("input/weather/wind_speed", "1 m/s", "default", note=clause("light-air"))
    if cloud is None:
        ledger.use("input/weather/cloud", "0 %", "default", note=clause("clear-sky"))
    # What is unknown at single steps is taken as where the whole column is: the extremes, not a hole in the answer.
    blows = np.full(len(hours), LIGHT_AIR) if wind is None else np.nan_to_num(wind, nan=LIGHT_AIR)
    covered = np.zeros(len(hours)) if cloud is None else np.nan_to_num(cloud)
    return board_heat.follow(
        step=hours.step,
        air_temperature=hours.air_temperature,
        irradiance=light,
        sky=surface.sky_emissivity(dew_point=damp, cloud=covered),
        convection=surface.convection(wind_speed=blows),
        absorptance=spread.value(ledger.take(absorptance)),
        emissivity=spread.value(ledger.take(emissivity)),
        below=board_heat.exchange_below(air_temperature=hours.air_temperature) if below is None else below,
        density=slab.density,
        moisture=slab.moisture,
        thickness=slab.thickness,
    )


def _daylight(hours: Hours, elevation: Array | None) -> Flags:
    """Say at which steps there is light to work by: the sun up, else measured light, else six to eighteen o'clock."""
    if elevation is not None:
        lit: Flags = elevation > 0
    elif hours.irradiance is not None:
        lit = np.nan_to_num(hours.irradiance) > 0
    else:
        lit = (hours.local_clock >= 6) & (hours.local_clock < 18)
    return lit
