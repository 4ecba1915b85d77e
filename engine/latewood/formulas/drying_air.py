"""The air boards dry in, step by step, turned into what their faces need of it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache

import numpy as np
from numpy.typing import NDArray

from latewood.formulas import air as moist_air
from latewood.formulas import diffusion, sorption

Array = NDArray[np.float64]

#: Points of the sorption curve between oven-dry and saturated.
_POINTS = 257
#: The curve, over the moisture content of saturated air, hardly changes with temperature; it is taken at this one.
_CURVE_AT = 293.15


@dataclass(frozen=True)
class Air:
    """Weather of equal steps (s). Each column is steps by boards, or steps by one where all boards share it.

    Air temperature and upper surface temperature (K), humidity (share), exchange coefficients of the upper and the
    under face (kg/(m2 s Pa); 0 where the underside is closed), and water that reaches the upper face (kg/m2 in a
    step).
    """

    step: float
    temperature: Array
    relative_humidity: Array
    surface_temperature: Array
    exchange: Array
    exchange_under: Array
    water: Array
    #: Of the air, Pa.
    pressure: float = field(default=moist_air.SEA_LEVEL, kw_only=True)

    def __len__(self) -> int:
        return len(self.temperature)

    def faces(self) -> Faces:
        """Return the same by faces, with all that does not depend on the boards worked out at once."""
        columns = (self.temperature, self.surface_temperature, self.exchange, self.exchange_under)
        temperature, top, over, under = np.broadcast_arrays(*columns)
        vapour = moist_air.vapour_pressure(temperature=temperature, relative_humidity=self.relative_humidity)
        both = np.stack((top, temperature), axis=-1)
        saturated = moist_air.saturation_pressure_over_water(temperature=both)
        # Where the surface is colder than the dew point the air holds more than it could there: dew.
        humidity = np.minimum(vapour[..., None] / saturated, 1.0)
        settled = sorption.equilibrium_moisture(temperature=both, relative_humidity=humidity)
        full = sorption.equilibrium_moisture(temperature=both, relative_humidity=1.0)
        fastest, rise = (np.asarray(part)[..., None] for part in diffusion.arrhenius((top + temperature) / 2))
        watered = np.any(self.water > 0, axis=1)
        film_loss = over * (self._film_pressure(temperature, top) - vapour)
        return Faces(
            settled=settled,
            full=full,
            humidity=humidity_of(settled / full),
            # A closed face lets next to nothing through, so that no step divides by nothing.
            exchange=np.maximum(np.stack((over, under), axis=-1) * saturated, 1e-24),
            fastest=fastest,
            slowing=-rise,
            film_loss=film_loss,
            dew=np.any(film_loss < 0, axis=1).tolist(),
            water=[self.water[step] if wet else None for step, wet in enumerate(watered)],
        )

    def _film_pressure(self, temperature: Array, top: Array) -> Array:
        """Return the vapour pressure over a film: at the wet bulb, shifted by what sun or sky give it.

        A wet surface warms by the share g/(g + d) of what a dry one does, the rest of the heat evaporates water
        (Penman 1948; g and d are gamma and delta of FAO Irrigation and Drainage Paper 56, eqs 8 and 13). A surface
        below the dew point takes dew on.
        """
        bulb = moist_air.wet_bulb(
            temperature=temperature,
            relative_humidity=np.broadcast_to(self.relative_humidity, top.shape),
            pressure=self.pressure,
        )
        at_bulb = moist_air.saturation_pressure_over_water(temperature=bulb)
        delta = at_bulb * 17.62 * 243.12 / (bulb - 273.15 + 243.12) ** 2
        gamma = 6.65e-4 * self.pressure
        shifted = bulb + (top - temperature) * gamma / (gamma + delta)
        found: Array = moist_air.saturation_pressure_over_water(temperature=shifted)
        return found


@dataclass(frozen=True)
class Faces:
    """What a step needs: arrays of steps by boards (or one for all), the first four by upper and under face too."""

    settled: Array
    full: Array
    humidity: Array
    #: Exchange coefficient times saturation pressure, kg/(m2 s).
    exchange: Array
    #: Diffusivity of bound water is ``fastest·exp(−slowing·M)``.
    fastest: Array
    slowing: Array
    #: Evaporation of a film, kg/(m2 s); below nothing where dew falls.
    film_loss: Array
    dew: list[bool]
    water: list[Array | None]

    def over(self, column: NDArray[np.intp]) -> Faces:
        """Return the same with the columns laid out over boards, each in the column it names."""

        def laid(part: Array) -> Array:
            return part if part.shape[1] == 1 else part[:, column]

        return Faces(
            settled=laid(self.settled),
            full=laid(self.full),
            humidity=laid(self.humidity),
            exchange=laid(self.exchange),
            fastest=laid(self.fastest),
            slowing=laid(self.slowing),
            film_loss=laid(self.film_loss),
            dew=self.dew,
            water=[None if water is None else water if len(water) == 1 else water[column] for water in self.water],
        )


def humidity_of(filled: Array) -> Array:
    """Return the humidity wood is in equilibrium with, by its moisture content over that in saturated air."""
    shares, curve = _curve()
    found: Array = np.interp(filled, shares, curve)
    return found


@cache
def _curve() -> tuple[Array, Array]:
    shares = np.linspace(0.0, 1.0, _POINTS)
    full = sorption.equilibrium_moisture(temperature=_CURVE_AT, relative_humidity=1.0)
    return shares, sorption.equilibrium_humidity(temperature=_CURVE_AT, moisture=shares * full)
