"""The working of one hour: how the temperature of the boards, the dew point and the time to walk were found."""

from __future__ import annotations

import numpy as np

from latewood.calculators.cure_windows.assessment import Assessed
from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas import air, cure, sun, surface
from latewood.provenance import Ledger
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number
from latewood.weather import Face, Hours
from latewood.weather.face import LIGHT_AIR


def work(
    chosen: Assessed, cells: Cells, face: Face, x: Inputs, family: Family, known: RecordLookup, ledger: Ledger
) -> None:
    """Write the worked steps of the hour in which the work begins, or of the first hour where it does not."""
    hours = cells.hours
    index = 0 if chosen.laid is None else int(chosen.laid.begins[0]) // cells.part
    when = f"{hours.at(index):%Y-%m-%d %H:%M}"
    warm, damp = float(hours.air_temperature[index]), float(hours.relative_humidity[index])
    if np.isnan(warm) or np.isnan(damp):
        return
    frosty = face.dew_point[index] < air.ZERO_CELSIUS
    point = air.frost_point if frosty else air.dew_point
    if hours.dew_point is None:
        dew = ledger.step(point, when, temperature=warm, relative_humidity=damp)
        if not face.measured[index] and x.exposure != "roofed" and x.board_temperature != "air":
            _board(when, index, warm, dew, hours, face, x, known, ledger)
    slow = _rate(hours, face, family, index)
    if slow > 0:
        about = f"until it can be walked on, at the pace of {when}"
        ledger.step(cure.hours_at_rate, about, hours=family.stages["walk"][1], rate=slow)


def _board(
    when: str,
    index: int,
    warm: float,
    dew: Number,
    hours: Hours,
    face: Face,
    x: Inputs,
    known: RecordLookup,
    ledger: Ledger,
) -> None:
    if x.latitude is None and hours.irradiance is None:
        return
    cloud = 0.0 if hours.cloud is None else float(np.nan_to_num(hours.cloud[index]))
    light: Number = float(face.irradiance[index])
    if hours.irradiance is None and not x.shade and x.latitude is not None and x.longitude is not None:
        at = float(hours.middles[index])
        up = ledger.step(sun.solar_elevation, when, time=at, latitude=x.latitude, longitude=x.longitude)
        clear = ledger.step(sun.clear_sky_irradiance, when, elevation=up)
        light = ledger.step(sun.irradiance_under_cloud, when, clear_sky=clear, cloud=cloud)
    blows = LIGHT_AIR if hours.wind_speed is None else float(np.nan_to_num(hours.wind_speed[index], nan=LIGHT_AIR))
    colour = x.board_colour or known.record("board-colour", "grey")
    ledger.step(
        surface.board_surface_temperature,
        when,
        air_temperature=warm,
        irradiance=light,
        sky=ledger.step(surface.sky_emissivity, when, dew_point=dew, cloud=cloud),
        convection=ledger.step(surface.convection, when, wind_speed=blows),
        absorptance=spread.value(colour.absorptance.number),
        emissivity=spread.value(colour.emissivity.number),
        below=x.heat_below or 0.0,
    )


def _rate(hours: Hours, face: Face, family: Family, index: int) -> float:
    here = slice(index, index + 1)
    slow, _ = family.clock(
        surface_temperature=face.temperature[here],
        air_temperature=hours.air_temperature[here],
        relative_humidity=hours.relative_humidity[here],
        coldest=family.coldest,
    )
    return float(np.ravel(slow)[0])
