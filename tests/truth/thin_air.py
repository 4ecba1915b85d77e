"""Drying at sea level and high up, with pressures and wet bulbs of psychrolib."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import psychrolib
from tests.truth.washed import SUMMER, wait

from latewood.catalogue import Catalogue
from latewood.formulas import air
from latewood.formulas.drying_closed import Wetted

HEIGHTS: Final = (0.0, 2500.0)
#: Air of the reference summer.
WARM, HUMID = 293.15, 0.65
FILM, AT_SEA = 0.1, 5e-8


@dataclass(frozen=True)
class High:
    """A height: the pressure and wet bulb of the engine beside psychrolib's, and how long a film and a wash take."""

    height: float
    pressure: float
    pressure_by: float
    bulb: float
    bulb_by: float
    film: float
    film_by: float
    wait: float


def at(lw: Catalogue, height: float) -> High:
    """Return what the engine has for a height beside what psychrolib has."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    pressure, by = float(air.standard_pressure(elevation=height)), psychrolib.GetStandardAtmPressure(height)
    bulb_by = psychrolib.GetTWetBulbFromRelHum(WARM - 273.15, HUMID, by) + 273.15
    bulb = float(air.wet_bulb(temperature=WARM, relative_humidity=HUMID, pressure=pressure))
    # Evaporation at the wet bulb, the exchange going with the root of the pressure upside down.
    exchange = AT_SEA * (101325.0 / by) ** 0.5
    pull = psychrolib.GetSatVapPres(bulb_by - 273.15) - HUMID * psychrolib.GetSatVapPres(WARM - 273.15)
    board = Wetted(
        basic_density=450.0,
        thickness=0.025,
        core=0.12,
        cap=0.3,
        depth=0.003,
        film=FILM,
        temperature=WARM,
        relative_humidity=HUMID,
        exchange=AT_SEA * (101325.0 / pressure) ** 0.5,
        exchange_under=0.0,
        pressure=pressure,
    )
    washed = wait(lw, "douglas-fir", SUMMER, "16 %", elevation=f"{height:g} m") * 3600.0
    return High(height, pressure, by, bulb, bulb_by, board.film_time, FILM / (exchange * pull), washed)


def lines(lw: Catalogue) -> Iterator[str]:
    """Yield each height as a line."""
    for one in (at(lw, height) for height in HEIGHTS):
        yield (
            f"{one.height:5.0f} m: {one.pressure:8.0f} Pa ({one.pressure_by:8.0f}), wet bulb {one.bulb - 273.15:5.2f} "
            f"({one.bulb_by - 273.15:5.2f}) °C, film {one.film / 3600:4.2f} ({one.film_by / 3600:4.2f}) h, "
            f"washed board {one.wait / 3600:5.2f} h"
        )
