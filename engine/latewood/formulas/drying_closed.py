"""Drying after wetting in a steady climate, in closed form: the series of a slab with resistance at both faces.

For quick answers where only a mean climate is known. Water beyond what the cell walls hold is spread inwards until
they are just full; diffusivity and the slope of the sorption curve are taken once. The numerical model follows them all
the way: from 10 to 30 °C, 40 to 70 % and densities of 320 to 900 kg/m3 this form gives 0.7 to 1.4 times its hours in
nine cases of ten, 0.5 to 2 times in all.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from latewood.declare import Symbol, formula
from latewood.formulas import air, diffusion, sorption

Array = NDArray[np.float64]

#: Moisture at which cell walls are full, and where between the limit and that the diffusivity is taken: what comes
#: nearest to the numerical model. Fitted to it, no source.
_FULL = 0.288
_BETWEEN = 0.3
_TERMS = 60
_HALVINGS = 60
#: Times (s) at which the outer layer is looked at: from a minute to a year, finer than any answer is sure.
_TIMES = np.geomspace(60.0, 3.2e7, 1200)


@formula(
    symbols="u/u_0 = Σ 2 B² exp(−β_n² F)/(β_n² (β_n² + B² + B)), β_n tan β_n = B, F = D t/l², B = k l/D",
    source="Crank 1975, The Mathematics of Diffusion, 2nd ed.",
    where="eq. 4.53, plane sheet of half thickness l, resistance at both faces: share of the excess still inside",
    holds="constant diffusivity; B up to 1e6 stands for no resistance",
)
def share_left_in_sheet(
    fourier: Annotated[float, Symbol("F", "%")], biot: Annotated[float, Symbol("B", "%")]
) -> Annotated[float, Symbol("u/u_0", "%")]:
    """Sum the series of a plane sheet: the share of the excess that has not left it yet."""
    slab = Slab(2.0, biot, biot)
    return float(slab.mean_left(np.array([fourier]), 2.0, 2.0)[0])


@dataclass(frozen=True)
class Slab:
    """A slab of unit diffusivity, from x = 0 to its thickness; each face loses its excess times ``loss``."""

    thickness: float
    loss: float
    loss_under: float

    def mean_left(self, time: Array, filled: float, outer: float) -> Array:
        """Return the mean excess from the face to ``outer`` at these times, from 1 in 0 to ``filled`` at the start.

        Carslaw and Jaeger 1959, Conduction of Heat in Solids, 2nd ed., sect. 3.11: radiation at both faces.
        """
        found: Array = self.decay(time) @ self.weight(filled, outer)
        return found

    def decay(self, time: Array) -> Array:
        """Return what is left of each term of the series at these times."""
        left: Array = np.exp(-np.multiply.outer(time, self._roots**2))
        return left

    def weight(self, filled: float, outer: float) -> Array:
        """Return what each term of the series counts in the mean excess."""
        root = self._roots
        norm = (root**2 + self.loss**2) * (self.thickness + self.loss_under / (root**2 + self.loss_under**2))
        norm = (norm + self.loss) / (2 * root**2)
        found: Array = _inside(root, self.loss, filled) * _inside(root, self.loss, outer) / (norm * outer)
        return found

    @cached_property
    def _roots(self) -> Array:
        """The first eigenvalues: λL = (n − 1)π + atan(H_1/λ) + atan(H_2/λ), one in each interval of π."""
        low = np.arange(_TERMS) * np.pi / self.thickness
        high = low + np.pi / self.thickness
        low[0] = 1e-12
        first = np.arange(_TERMS) * np.pi
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            turned = middle * self.thickness - np.arctan(self.loss / middle) - np.arctan(self.loss_under / middle)
            low, high = np.where(turned < first, middle, low), np.where(turned < first, high, middle)
        return (low + high) / 2


def _inside(root: Array, loss: float, to: float) -> Array:
    """Integrate an eigenfunction cos λx + (H/λ) sin λx from the face."""
    found: Array = np.sin(root * to) / root + loss / root**2 * (1 - np.cos(root * to))
    return found


@dataclass(frozen=True, kw_only=True)
class Wetted:
    """A board just wetted, in steady air. SI; moisture contents as shares.

    Within ``depth`` it is filled to ``cap``, below it has ``core``; ``film`` (kg/m2) lies on top. ``exchange`` in
    kg/(m2 s Pa), ``exchange_under`` 0 where the underside is closed; ``factor`` multiplies the diffusivity.
    """

    basic_density: float
    thickness: float
    core: float
    cap: float
    depth: float
    film: float
    temperature: float
    relative_humidity: float
    exchange: float
    exchange_under: float
    factor: float = 1.0
    #: Pressure of the air, Pa.
    pressure: float = air.SEA_LEVEL

    @cached_property
    def settled(self) -> float:
        """The moisture content it settles at."""
        return float(
            sorption.equilibrium_moisture(temperature=self.temperature, relative_humidity=self.relative_humidity)
        )

    @cached_property
    def film_time(self) -> float:
        """How long (s) the film takes to evaporate at the wet bulb."""
        state = {"temperature": self.temperature, "relative_humidity": self.relative_humidity}
        bulb = air.wet_bulb(**state, pressure=self.pressure)
        vapour = air.vapour_pressure(**state)
        pull = float(air.saturation_pressure_over_water(temperature=bulb) - vapour)
        return self.film / (self.exchange * pull) if pull > 0 else np.inf

    def time_until(self, limit: float, outer: float) -> float:
        """Return after how long (s) the outer layer's mean is at the limit; infinite where it never gets there."""
        return self.reached(limit, *self.course(limit, outer))

    def reached(self, limit: float, times: Array, moisture: Array) -> float:
        """Return the time (s) from which a course is at the limit; infinite where it never gets there."""
        dry = moisture <= limit
        if limit <= self.settled or not dry.any():
            return np.inf
        # A board with a film on it is not dry, however little went in.
        return max(float(times[int(np.argmax(dry))]), self.film_time)

    def course(self, limit: float, outer: float) -> tuple[Array, Array]:
        """Return the mean moisture of the outer layer over time (s); it stays as it is while the film lasts.

        ``limit`` tells where the diffusivity is taken, so the course is right near it. A limit that is never reached
        is taken as half a point above what the wood settles at.
        """
        settled = self.settled
        aim = max(limit, settled + 0.005)
        depth, cap = self._spread()
        diffusivity = self.factor * float(
            diffusion.transverse_diffusivity(
                temperature=self.temperature,
                moisture=aim + _BETWEEN * (max(cap, aim) - aim),
                basic_density=self.basic_density,
            )
        )
        slab = Slab(self.thickness, *(loss / diffusivity for loss in self._losses(aim, settled)))
        outer = min(outer, self.thickness)
        left = slab.decay(diffusivity * _TIMES)
        excess = (cap - self.core) * (left @ slab.weight(depth, outer))
        excess += (self.core - settled) * (left @ slab.weight(self.thickness, outer))
        layer = min(self.depth / outer, 1.0)
        before = layer * self.cap + (1 - layer) * self.core
        waits = min(self.film_time, _TIMES[-1])
        times = np.concatenate(([0.0, waits], waits + _TIMES))
        return times, np.concatenate(([before, before], settled + excess))

    def _spread(self) -> tuple[float, float]:
        """Return depth and moisture of the same water with the cell walls just full."""
        reached = min(self.depth, self.thickness)
        if self.cap <= _FULL or self.core >= _FULL:
            return reached, self.cap
        depth = min(reached * (self.cap - self.core) / (_FULL - self.core), self.thickness)
        return depth, self.core + (self.cap - self.core) * reached / depth

    def _losses(self, limit: float, settled: float) -> tuple[float, float]:
        """Return what a face loses by its excess, m/s: the sorption curve's slope between limit and settled."""
        humidity = sorption.equilibrium_humidity(temperature=self.temperature, moisture=limit)
        slope = float(humidity - self.relative_humidity) / (limit - settled)
        pressure = float(air.saturation_pressure_over_water(temperature=self.temperature))
        whole = pressure * slope / self.basic_density
        return self.exchange * whole, self.exchange_under * whole
