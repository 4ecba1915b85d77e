"""How fast water moves inside wood across the grain, and from its surface into the air.

Moisture contents are shares of the oven-dry mass, temperatures in K, densities in kg/m3. Floats and arrays pass.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.formulas.air import SEA_LEVEL, Floats

GAS_CONSTANT = 8.314  # J/(mol K)
_SIAU = "Siau 1984, Transport Processes in Wood"
#: D_0, activation energy and its fall for each unit of moisture content: eq. 6.14, in J/mol.
_BOUND = (7e-6, 38500.0, 29000.0)
#: Volume of oven-dry cell wall, and of the water in it, by mass of either over that of water: Siau, porosity.
WALL = 0.667


@formula(
    symbols="D_b = 7e-6·exp(−(38500 − 290 M)/(R T)), M in %, R = 8.314",
    source=_SIAU,
    where="eq. 6.14, transverse diffusion of bound water in the cell wall; read second-hand",
    holds="below fibre saturation, 0 to 100 °C",
)
def bound_water_diffusivity(
    temperature: Annotated[Floats, Symbol("T", "K", "temperature")], moisture: Annotated[Floats, Symbol("M", "%")]
) -> Annotated[Floats, Symbol("D_b", "m2/s")]:
    """Take the diffusivity of water bound in the cell wall, across the grain."""
    first, energy, falling = _BOUND
    found: Floats = first * np.exp((falling * moisture - energy) / (GAS_CONSTANT * temperature))
    return found


@formula(
    symbols="D = D_b(T)/((1 − a²)(1 − a)), a² = 1 − G(0.667 + M), G = ρ_b/1000",
    source=_SIAU,
    where="eq. 6.22 with the vapour path open; read second-hand, the form of the porosity recalled",
    holds="below fibre saturation; measured spruce and aspen lie within a factor of 2",
)
def transverse_diffusivity(
    temperature: Annotated[Floats, Symbol("T", "K", "temperature")],
    moisture: Annotated[Floats, Symbol("M", "%")],
    basic_density: Annotated[Floats, Symbol("ρ_b", "kg/m3")],
) -> Annotated[Floats, Symbol("D", "m2/s")]:
    """Shorten the way through the cell walls by the open pores: the diffusivity of the wood across the grain."""
    bound: Floats = bound_water_diffusivity(temperature=temperature, moisture=moisture)
    return bound * pore_gain(moisture, basic_density)


def pore_gain(moisture: Floats, basic_density: Floats) -> Floats:
    """Return by how much the pores speed diffusion up beside the cell wall alone: 1/((1 − a²)(1 − a))."""
    wall = basic_density / 1000 * (WALL + moisture)
    gain: Floats = 1 / (wall * (1 - np.sqrt(np.maximum(1 - wall, 0.0))))
    return gain


def arrhenius(temperature: Floats) -> tuple[Floats, Floats]:
    """Return the two numbers of a temperature that bound-water diffusivity is made of: D_b = a·exp(b·M)."""
    first, energy, falling = _BOUND
    scale = 1 / (GAS_CONSTANT * temperature)
    return first * np.exp(-energy * scale), falling * scale


def vapour_exchange(heat_transfer: Floats, pressure: Floats = SEA_LEVEL) -> Floats:
    """Return the exchange coefficient of a surface for vapour, kg/(m² s Pa), from that for heat at sea level, W/(m² K).

    Lewis relation for air and vapour with a Lewis number of 1: β = h·0.622/(p·c_p). At sea level 6.1e-9 of h, so that
    8.2 W/(m² K), a light wind, gives 5e-8. In thinner air less heat goes over, by the root of the density: laminar flow
    along a plate, Nu ∝ Re^½, as textbooks of heat transfer have it (recalled). So β ∝ p^-½.
    """
    return heat_transfer * (pressure / SEA_LEVEL) ** 0.5 * 0.621945 / (pressure * 1006.0)
