"""A board in the weather by finite differences: the reference that the engine's one lumped temperature is held to.

Heat passes through forty equal cells; the upper face exchanges it with sun, sky and air, its radiation to the fourth
power, the under side with the air below. The hours' weather is taken as steady within each. SciPy's stiff solver steps
through time (LSODA). Equations: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, chapter 5.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

Array = NDArray[np.float64]

CELLS, LOOKS = 40, 12
STEFAN_BOLTZMANN = 5.670374419e-8


@dataclass(frozen=True)
class Slab:
    """A board: thickness (m), density (kg/m3), heat capacity (J/kg/K) and conductivity (W/m/K)."""

    thickness: float
    density: float
    capacity: float
    conductivity: float


@dataclass(frozen=True)
class Outdoors:
    """The weather hour by hour in SI, and how the board takes it up; ``convection`` and ``below`` in W/m2/K."""

    air: Array
    irradiance: Array
    sky: Array
    convection: Array
    below: Array
    absorptance: float
    emissivity: float


def faces(slab: Slab, out: Outdoors) -> Array:
    """Return the temperature (K) of the upper face on the mean over each hour; the board begins as warm as the air."""
    cell = slab.thickness / CELLS
    heat, half = slab.density * slab.capacity * cell, 2 * slab.conductivity / cell
    cells = np.full(CELLS, out.air[0])
    found = []
    for hour in range(len(out.air)):

        def change(_: float, now: Array, hour: int = hour) -> Array:
            flux = slab.conductivity * np.diff(now) / cell
            change = np.empty(CELLS)
            change[1:-1] = flux[1:] - flux[:-1]
            change[0] = half * (_face(now[0], half, out, hour) - now[0]) + flux[0]
            under = half * out.below[hour] / (half + out.below[hour])
            change[-1] = under * (out.air[hour] - now[-1]) - flux[-1]
            return change / heat

        looks = np.linspace(0.0, 3600.0, LOOKS + 1)
        solved = solve_ivp(change, (0.0, 3600.0), cells, method="LSODA", t_eval=looks, rtol=1e-6, atol=1e-4)
        assert solved.success, solved.message
        upper = np.array([_face(top, half, out, hour) for top in solved.y[0]])
        found.append(float(np.trapezoid(upper, looks)) / 3600.0)
        cells = solved.y[:, -1]
    return np.array(found)


def _face(cell: float, half: float, out: Outdoors, hour: int) -> float:
    """Return the temperature of the face itself, which stores nothing: Newton's method on its balance."""
    gained = out.absorptance * out.irradiance[hour]
    radiated = out.emissivity * STEFAN_BOLTZMANN
    gained += radiated * out.sky[hour] * out.air[hour] ** 4
    face = cell
    for _ in range(6):
        excess = gained - radiated * face**4 - out.convection[hour] * (face - out.air[hour]) - half * (face - cell)
        face += excess / (4 * radiated * face**3 + out.convection[hour] + half)
    return face
