"""Four days of each season at 41°N, and the face of boards in them: the engine's beside the finite differences.

The days are synthetic: a cosine of temperature, clear sky, one dew point, wind by day and little by night.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np
from tests.truth.heat_slab import Array, Outdoors, Slab, faces

from latewood.formulas import air, board_heat, sun, surface

KELVIN = 273.15
DAYS = 2
#: Day, highest and lowest (°C), and relative humidity at the lowest.
SEASONS = {
    "March": ("2026-03-20", 12.0, 2.0, 0.80),
    "June": ("2026-06-20", 29.0, 17.0, 0.75),
    "September": ("2026-09-22", 22.0, 11.0, 0.85),
    "December": ("2026-12-20", 5.0, -4.0, 0.80),
}
#: Density at 12 % (kg/m3): cedar, pine, ipe. Wood Handbook, FPL-GTR-190, chapters 4 and 5.
WOODS = {"cedar": 370.0, "pine": 560.0, "ipe": 1050.0}
THICKNESSES = (0.025, 0.038)
#: As weathered boards take up sun and give off heat.
ABSORPTANCE, EMISSIVITY, MOISTURE = 0.75, 0.9, 0.12


@dataclass(frozen=True)
class Compared:
    """The faces of one board over the days, K, from the second day on; ``rise`` is the hour in which the sun rises."""

    name: str
    engine: Array
    steady: Array
    reference: Array
    rise: int

    def worst(self, found: Array) -> tuple[float, float, float]:
        """Return root mean square, largest and at sunrise by how much a course is off."""
        off = found - self.reference
        return float(np.sqrt(np.mean(off**2))), float(np.abs(off).max()), float(off[self.rise])


def compared() -> Iterator[Compared]:
    """Yield every board in every season."""
    for season in SEASONS:
        weather, rise = outdoors(season)
        for wood, density in WOODS.items():
            for thickness in THICKNESSES:
                taken_up = {
                    "air_temperature": weather.air,
                    "irradiance": weather.irradiance,
                    "sky": weather.sky,
                    "convection": weather.convection,
                    "absorptance": ABSORPTANCE,
                    "emissivity": EMISSIVITY,
                }
                engine, _ = board_heat.follow(
                    step=3600.0,
                    **taken_up,
                    below=weather.below,
                    density=density,
                    moisture=MOISTURE,
                    thickness=thickness,
                )
                steady = surface.board_surface_temperature(**taken_up, below=0.0)
                slab = slab_of(density, thickness, float(weather.air.mean()))
                last = slice(24, None)
                yield Compared(
                    f"{season}, {wood}, {thickness * 1e3:.0f} mm",
                    engine[last],
                    steady[last],
                    faces(slab, weather)[last],
                    rise,
                )


def slab_of(density: float, thickness: float, temperature: float) -> Slab:
    """Return a board by eqs. 4-15 to 4-18 of the Wood Handbook, FPL-GTR-190, written out anew."""
    percent = 100 * MOISTURE
    gravity = density / (1 + MOISTURE) / 1000
    conductivity = gravity * (0.1941 + 0.004064 * percent) + 0.01864
    bond = percent * (-0.06191 + 2.36e-4 * temperature - 1.33e-4 * percent)
    capacity = ((0.1031 + 0.003867 * temperature) + 4.18 * MOISTURE) / (1 + MOISTURE) + bond
    return Slab(thickness, density, 1e3 * capacity, conductivity)


def outdoors(season: str) -> tuple[Outdoors, int]:
    """Return the weather of a season, and the hour of the second day in which the sun rises."""
    day, highest, lowest, damp = SEASONS[season]
    hours = np.arange(24 * DAYS) + 0.5
    # Mean solar time five hours behind: 75°W.
    begins = datetime.fromisoformat(f"{day}T05:00:00+00:00")
    times = np.array([(begins + timedelta(hours=float(hour))).timestamp() for hour in hours])
    clock = hours % 24
    warm = KELVIN + (highest + lowest) / 2 + (highest - lowest) / 2 * np.cos(2 * np.pi * (clock - 15) / 24)
    elevation = sun.solar_elevation(time=times, latitude=np.radians(41.0), longitude=np.radians(-75.0))
    dew = air.dew_point(temperature=np.full(len(hours), KELVIN + lowest), relative_humidity=np.full(len(hours), damp))
    wind = np.where((clock > 8) & (clock < 19), 2.0, 0.8)
    found = Outdoors(
        air=warm,
        irradiance=sun.clear_sky_irradiance(elevation=elevation),
        sky=surface.sky_emissivity(dew_point=dew, cloud=np.zeros(len(hours))),
        convection=surface.convection(wind_speed=wind),
        below=board_heat.exchange_below(air_temperature=warm),
        absorptance=ABSORPTANCE,
        emissivity=EMISSIVITY,
    )
    return found, int(np.flatnonzero(elevation[24:] > 0)[0])
