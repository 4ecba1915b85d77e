"""The working of one hour: how the temperature of the boards, the dew point and the time to walk were found."""

from __future__ import annotations

import numpy as np

from latewood.calculators.cure_windows.compute.timeline import Laid
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.formulas import air, board_heat, cure, sun, surface
from latewood.messages import Moment, clause
from latewood.provenance import Ledger
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number
from latewood.weather.face import LIGHT_AIR


def work(r: Resolved, laid: Laid | None, part: int, ledger: Ledger) -> None:
    """Write the worked steps of the hour in which the work begins, or of the first hour where it does not."""
    hours, face = r.hours, r.face
    index = 0 if laid is None else int(laid.begins[0]) // part
    when = f"{hours.at(index):%Y-%m-%d %H:%M}"
    warm, damp = float(hours.air_temperature[index]), float(hours.relative_humidity[index])
    if np.isnan(warm) or np.isnan(damp):
        return
    frosty = face.dew_point[index] < air.ZERO_CELSIUS
    point = air.frost_point if frosty else air.dew_point
    if hours.dew_point is None:
        dew = ledger.step(point, when, temperature=warm, relative_humidity=damp)
        if not face.measured[index] and not r.sheltered and r.boards.rule != "air":
            _board(when, index, warm, dew, r, ledger)
    slow = _rate(r, index)
    if slow > 0:
        about = clause("walk-at-pace-of", at=Moment(hours.at(index)))
        ledger.step(cure.hours_at_rate, about, hours=r.family.stages["walk"][1], rate=slow)


def _board(when: str, index: int, warm: float, dew: Number, r: Resolved, ledger: Ledger) -> None:
    hours, latitude, longitude = r.hours, r.place.latitude, r.place.longitude
    if latitude is None and hours.irradiance is None:
        return
    cloud = 0.0 if hours.cloud is None else float(np.nan_to_num(hours.cloud[index]))
    light: Number = float(r.face.irradiance[index])
    unshaded = isinstance(r.boards.shade, float)
    if hours.irradiance is None and unshaded and latitude is not None and longitude is not None:
        at = float(hours.middles[index])
        up = ledger.step(sun.solar_elevation, when, time=at, latitude=latitude, longitude=longitude)
        clear = ledger.step(sun.clear_sky_irradiance, when, elevation=up)
        light = ledger.step(sun.irradiance_under_cloud, when, clear_sky=clear, cloud=cloud)
    blows = LIGHT_AIR if hours.wind_speed is None else float(np.nan_to_num(hours.wind_speed[index], nan=LIGHT_AIR))
    absorptance, emissivity = (spread.value(part.number) for part in (r.boards.absorptance, r.boards.emissivity))
    convection = ledger.step(surface.convection, when, wind_speed=blows)
    # Radiation is made straight about the temperature found.
    taken = ledger.step(
        board_heat.exchange,
        when,
        convection=convection,
        emissivity=emissivity,
        temperature=float(r.face.temperature[index]),
    )
    outdoor = ledger.step(
        board_heat.outdoor_temperature,
        when,
        air_temperature=warm,
        irradiance=light,
        sky=ledger.step(surface.sky_emissivity, when, dew_point=dew, cloud=cloud),
        convection=convection,
        absorptance=absorptance,
        emissivity=emissivity,
        temperature=float(r.face.temperature[index]),
        exchange=taken,
    )
    _stored(when, index, warm, taken, outdoor, r, ledger)


def _stored(when: str, index: int, warm: float, taken: Number, outdoor: Number, r: Resolved, ledger: Ledger) -> None:
    """Write down what the board stores, and its face between that and the weather."""
    slab, below = r.boards.slab, r.boards.below
    given_off = ledger.step(board_heat.exchange_below, when, air_temperature=warm) if below is None else below
    size = {"density": slab.density, "moisture": slab.moisture, "thickness": slab.thickness}
    conductance = ledger.step(board_heat.face_conductance, when, **size)
    over = ledger.step(board_heat.in_series, when, one=taken, other=conductance)
    under = ledger.step(board_heat.in_series, when, one=given_off, other=conductance)
    settled = ledger.step(
        board_heat.settled_temperature, when, outdoor=outdoor, air_temperature=warm, over=over, under=under
    )
    tau = ledger.step(board_heat.time_constant, when, **size, temperature=settled, over=over, under=under)
    mean = ledger.step(
        board_heat.mean_temperature,
        when,
        start=float(r.face.board[index]),
        settled=settled,
        time=r.hours.step,
        time_constant=tau,
    )
    ledger.step(board_heat.face_temperature, when, outdoor=outdoor, mean=mean, exchange=taken, conductance=conductance)


def _rate(r: Resolved, index: int) -> float:
    here = slice(index, index + 1)
    slow, _ = r.family.clock(
        surface_temperature=r.face.temperature[here],
        air_temperature=r.hours.air_temperature[here],
        relative_humidity=r.hours.relative_humidity[here],
        coldest=r.family.coldest,
    )
    return float(np.ravel(slow)[0])
