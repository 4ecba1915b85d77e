"""How warm the face of a board gets hour by hour: a board stores heat, and lags behind sun and sky.

One temperature stands for the whole board, its mean. Each face exchanges heat with it through the conductance of a slab
whose profile is a parabola; for boards of wood that matters as much as what is stored, since their faces run ahead of
their middle. Temperatures in K, moisture content as a share of the oven-dry mass, all else SI. Held against a
finite-difference solution of the same board in the tests.
"""

from __future__ import annotations

import math
from typing import Annotated, Final

import numpy as np
from numpy.typing import NDArray

from latewood.declare import Symbol, formula
from latewood.formulas.air import Floats
from latewood.formulas.surface import STEFAN_BOLTZMANN, board_surface_temperature

Array = NDArray[np.float64]

#: Emissivity of the under side and of what it faces, and what still air takes beside, W/m2/K: a warm plate that faces
#: down stirs hardly any. A judgement.
UNDER, STILL_AIR = 0.9, 1.0
#: Radiation is taken as straight about the temperature of the face: of the last round, at first of a board that stores
#: nothing. Two rounds leave a tenth of a kelvin.
_ROUNDS: Final = 2


@formula(
    symbols="g = 3·k/L, k = G·(0.1941 + 0.4064 x) + 0.01864 W/m/K, G = ρ/(1000·(1 + x))",
    source="USDA Forest Service, Wood Handbook, FPL-GTR-190",
    where="eq. 4-15 across the grain; a third of the thickness lies between a face and the mean of a parabola: derived",
    holds="specific gravity above 0.3, moisture content below 25 %, within 20 %",
)
def face_conductance(
    density: Annotated[Floats, Symbol("ρ", "kg/m3")],
    moisture: Annotated[Floats, Symbol("x", "%")],
    thickness: Annotated[Floats, Symbol("L", "mm")],
) -> Annotated[Floats, Symbol("g", "W/m2/K")]:
    """Find how readily heat passes between a face of a board and its mean."""
    gravity = density / 1000 / (1 + moisture)
    return 3 * (gravity * (0.1941 + 0.4064 * moisture) + 0.01864) / thickness


@formula(
    symbols="h_t = h_c + 4·ε·σ·T³",
    source="Duffie and Beckman, Solar Engineering of Thermal Processes, Wiley",
    where="radiation as a coefficient about a temperature; recalled",
    holds="faces within 20 K of it",
)
def exchange(
    convection: Annotated[Floats, Symbol("h_c", "W/m2/K")],
    emissivity: Annotated[Floats, Symbol("ε", "%")],
    temperature: Annotated[Floats, Symbol("T", "degC")],
) -> Annotated[Floats, Symbol("h_t", "W/m2/K")]:
    """Add what a face radiates to what the air takes."""
    return convection + 4 * emissivity * STEFAN_BOLTZMANN * temperature**3


@formula(
    symbols="T_e = (α·G + ε·ε_s·σ·T_a⁴ + 3·ε·σ·T³ · T + h_c·T_a)/h_t",
    source="Duffie and Beckman, Solar Engineering of Thermal Processes, Wiley",
    where="the heat balance of a face made straight about T; recalled",
    holds="faces within 20 K of T",
)
def outdoor_temperature(
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
    irradiance: Annotated[Floats, Symbol("G", "W/m2")],
    sky: Annotated[Floats, Symbol("ε_s", "%")],
    convection: Annotated[Floats, Symbol("h_c", "W/m2/K")],
    absorptance: Annotated[Floats, Symbol("α", "%")],
    emissivity: Annotated[Floats, Symbol("ε", "%")],
    temperature: Annotated[Floats, Symbol("T", "degC")],
    exchange: Annotated[Floats, Symbol("h_t", "W/m2/K")],
) -> Annotated[Floats, Symbol("T_e", "degC")]:
    """Find the temperature of air that alone would do to a face what sun, sky and air do together."""
    radiated = emissivity * STEFAN_BOLTZMANN
    gained = absorptance * irradiance + radiated * (sky * air_temperature**4 + 3 * temperature**4)
    return (gained + convection * air_temperature) / exchange


@formula(
    symbols="T_∞ = (U·T_e + U_b·T_a)/(U + U_b)",
    source="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Wiley",
    where="two resistances in series on either face; recalled",
    holds="as it stands once nothing changes any more",
)
def settled_temperature(
    outdoor: Annotated[Floats, Symbol("T_e", "degC")],
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
    over: Annotated[Floats, Symbol("U", "W/m2/K")],
    under: Annotated[Floats, Symbol("U_b", "W/m2/K")],
) -> Annotated[Floats, Symbol("T_∞", "degC")]:
    """Find the mean temperature a board would come to in this weather."""
    return (over * outdoor + under * air_temperature) / (over + under)


@formula(
    symbols="τ = ρ·c·L/(U + U_b), c = (c_0 + 4.18 x)/(1 + x) + 100 x·(−0.06191 + 2.36e−4 T − 0.0133 x) kJ/kg/K, "
    "c_0 = 0.1031 + 0.003867 T",
    source="USDA Forest Service, Wood Handbook, FPL-GTR-190",
    where="eqs. 4-16 to 4-18 for the heat capacity; one lumped capacity: Incropera and DeWitt; recalled",
    holds="7 to 147 °C, moisture content of at most 25 %",
)
def time_constant(
    density: Annotated[Floats, Symbol("ρ", "kg/m3")],
    moisture: Annotated[Floats, Symbol("x", "%")],
    thickness: Annotated[Floats, Symbol("L", "mm")],
    temperature: Annotated[Floats, Symbol("T", "degC")],
    over: Annotated[Floats, Symbol("U", "W/m2/K")],
    under: Annotated[Floats, Symbol("U_b", "W/m2/K")],
) -> Annotated[Floats, Symbol("τ", "h")]:
    """Find the time in which a board makes up 63 % of the way to where it settles."""
    dry = 0.1031 + 0.003867 * temperature
    bond = 100 * moisture * (-0.06191 + 2.36e-4 * temperature - 0.0133 * moisture)
    capacity = 1000 * ((dry + 4.18 * moisture) / (1 + moisture) + bond)
    return density * capacity * thickness / (over + under)


@formula(
    symbols="T_m = T_∞ + (T_0 − T_∞)·(1 − e^(−t/τ))·τ/t",
    source="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Wiley",
    where="one lumped capacity in steady weather, on the mean over the time; recalled",
    holds="one temperature for the whole board",
)
def mean_temperature(
    start: Annotated[Floats, Symbol("T_0", "degC")],
    settled: Annotated[Floats, Symbol("T_∞", "degC")],
    time: Annotated[Floats, Symbol("t", "h")],
    time_constant: Annotated[Floats, Symbol("τ", "h")],
) -> Annotated[Floats, Symbol("T_m", "degC")]:
    """Average a board's mean temperature over a time in which the weather stays as it is."""
    return settled + (start - settled) * (1 - np.exp(-time / time_constant)) * time_constant / time


@formula(
    symbols="T_s = (h_t·T_e + g·T_m)/(h_t + g)",
    source="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Wiley",
    where="two resistances in series; recalled",
    holds="slow changes beside the minutes in which a profile forms",
)
def face_temperature(
    outdoor: Annotated[Floats, Symbol("T_e", "degC")],
    mean: Annotated[Floats, Symbol("T_m", "degC")],
    exchange: Annotated[Floats, Symbol("h_t", "W/m2/K")],
    conductance: Annotated[Floats, Symbol("g", "W/m2/K")],
) -> Annotated[Floats, Symbol("T_s", "degC")]:
    """Find the temperature of a board's face between the weather and the board's mean."""
    return (exchange * outdoor + conductance * mean) / (exchange + conductance)


@formula(
    symbols="h_b = 4·0.9·σ·T_a³ + 1.0",
    source="Duffie and Beckman, Solar Engineering of Thermal Processes, Wiley",
    where="radiation as a coefficient about the air's temperature, recalled; what still air takes is a judgement",
    holds="ground and joists about as warm as the air",
)
def exchange_below(
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
) -> Annotated[Floats, Symbol("h_b", "W/m2/K")]:
    """Estimate what the under side of a board gives off: it radiates to ground and joists, the air is still."""
    taken: Floats = exchange(convection=STILL_AIR, emissivity=UNDER, temperature=air_temperature)
    return taken


@formula(
    symbols="U = h·g/(h + g)",
    source="Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, Wiley",
    where="two resistances in series; recalled",
    holds="heat that passes one passes the other",
)
def in_series(
    one: Annotated[Floats, Symbol("h", "W/m2/K")], other: Annotated[Floats, Symbol("g", "W/m2/K")]
) -> Annotated[Floats, Symbol("U", "W/m2/K")]:
    """Join two conductances in series, as from the weather through half a board."""
    return one * other / (one + other)


def follow(
    *,
    step: float,
    air_temperature: Array,
    irradiance: Array,
    sky: Array,
    convection: Array,
    absorptance: float,
    emissivity: float,
    below: Array | float,
    density: float,
    moisture: float,
    thickness: float,
) -> tuple[Array, Array]:
    """Return the temperature of a board's face, its mean over each step, and the board's mean where each step begins.

    One value a step of ``step`` seconds; ``below`` is what the under side gives off, W/m2/K. The board begins settled;
    so it does again after steps of which the weather is not known (NaN).
    """
    conductance = face_conductance(density=density, moisture=moisture, thickness=thickness)
    weather = {
        "air_temperature": air_temperature,
        "irradiance": irradiance,
        "sky": sky,
        "convection": convection,
        "absorptance": absorptance,
        "emissivity": emissivity,
    }
    under = in_series(one=below, other=conductance)
    face: Array = board_surface_temperature(**weather, below=below)
    starts = face
    for _ in range(_ROUNDS):
        taken = exchange(convection=convection, emissivity=emissivity, temperature=face)
        outdoor = outdoor_temperature(**weather, temperature=face, exchange=taken)
        over = in_series(one=taken, other=conductance)
        settled = settled_temperature(outdoor=outdoor, air_temperature=air_temperature, over=over, under=under)
        tau = time_constant(
            density=density, moisture=moisture, thickness=thickness, temperature=settled, over=over, under=under
        )
        starts = _lagging(settled, np.exp(-step / tau))
        mean = mean_temperature(start=starts, settled=settled, time=step, time_constant=tau)
        face = face_temperature(outdoor=outdoor, mean=mean, exchange=taken, conductance=conductance)
    return face, starts


def _lagging(settled: Array, kept: Array) -> Array:
    """Return what goes after ``settled``, where each step begins, and keeps that share of what lies between."""
    starts = np.empty_like(settled)
    now = float("nan")
    for place, (goal, share) in enumerate(zip(settled.tolist(), kept.tolist(), strict=True)):
        if math.isnan(now):
            now = goal
        starts[place] = now
        now = goal + (now - goal) * share
    return starts
