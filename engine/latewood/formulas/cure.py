"""How fast a coating cures: hours at the weather it gets, counted as hours at 23 °C and 50 %.

Rates are hours at the standard state for each hour; temperatures in K, pressures in Pa. Floats and arrays pass.
"""

from __future__ import annotations

from typing import Annotated, Final

import numpy as np

from latewood.declare import Symbol, formula
from latewood.formulas.air import Floats, saturation_pressure_over_water

#: Molar gas constant, J/mol/K (SI Brochure 2019: exact).
GAS_CONSTANT: Final = 8.314462618
#: Standard state of paint tests: 23 °C and 50 % (ASTM D3924; ISO 3270, recalled).
STANDARD_TEMPERATURE: Final = 296.15
STANDARD_HUMIDITY: Final = 0.5
#: What air of the standard state still takes up at a face as warm as itself, Pa.
STANDARD_DEFICIT: Final = (1 - STANDARD_HUMIDITY) * float(
    saturation_pressure_over_water(temperature=STANDARD_TEMPERATURE)
)
#: Water leaves a film at most twice as fast as at the standard state: then the film's own resistance governs. An
#: assumption: Prog. Org. Coat. 57 (2006) 236 finds the change to diffusion through a skin, not its place on this scale.
FASTEST_EVAPORATION: Final = 2.0


@formula(
    symbols="r = exp(E/R·(1/296.15 − 1/T)), T in K",
    source="Arrhenius 1889; E of autoxidation: J. Agric. Food Chem. 53 (2005) 9073, 66 ± 4 kJ/mol without a drier",
    where="rate relative to 23 °C; E of 50 kJ/mol is the trade's rule that time halves at 30 °C and doubles at 10 °C",
    holds="5 to 40 °C; no activation energy of a film with driers has been published: use both, slow and fast",
)
def oxidative_rate(
    temperature: Annotated[Floats, Symbol("T", "degC")],
    activation_energy: Annotated[Floats, Symbol("E", "kJ/mol")],
) -> Annotated[Floats, Symbol("r", "%")]:
    """Compare how fast an oil takes up oxygen with how fast it does at 23 °C."""
    rate: Floats = np.exp(activation_energy / GAS_CONSTANT * (1 / STANDARD_TEMPERATURE - 1 / temperature))
    return float(rate) if np.ndim(rate) == 0 else rate


@formula(
    symbols="d = e_w(T_s) − h·e_w(T_a)",
    source="Dalton 1802: evaporation goes by the difference of vapour pressures",
    where="vapour pressure at the face less that of the air",
    holds="0 to 60 °C; negative where the face gathers dew",
)
def vapour_deficit(
    surface_temperature: Annotated[Floats, Symbol("T_s", "degC")],
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
    relative_humidity: Annotated[Floats, Symbol("h", "%")],
) -> Annotated[Floats, Symbol("d", "Pa")]:
    """Find what drives water off the boards into the air."""
    at_face = saturation_pressure_over_water(temperature=surface_temperature)
    deficit: Floats = at_face - relative_humidity * saturation_pressure_over_water(temperature=air_temperature)
    return deficit


@formula(
    symbols="r = d/1401 Pa, from 0 to 2",
    source="Dalton 1802: evaporation goes by the difference of vapour pressures",
    where="rate relative to 23 °C and 50 %, still air",
    holds="the water still in a thin film; the upper limit is an assumption",
)
def evaporative_rate(deficit: Annotated[Floats, Symbol("d", "Pa")]) -> Annotated[Floats, Symbol("r", "%")]:
    """Compare how fast water leaves a film with how fast it does at 23 °C and 50 %."""
    rate: Floats = np.clip(deficit / STANDARD_DEFICIT, 0.0, FASTEST_EVAPORATION)
    return float(rate) if np.ndim(rate) == 0 else rate


@formula(
    symbols="t = H/r",
    source="arithmetic: the meaning of a rate",
    holds="a steady climate",
)
def hours_at_rate(
    hours: Annotated[Floats, Symbol("H", "h")], rate: Annotated[Floats, Symbol("r", "%")]
) -> Annotated[Floats, Symbol("t", "h")]:
    """Divide the hours at the standard state by the rate: the hours it takes here."""
    return hours / rate


@formula(
    symbols="H = Σ r_i·Δt",
    source="arithmetic: the meaning of a rate",
    holds="rates of equal steps of time, the last axis",
)
def equivalent_time(
    rates: Annotated[Floats, Symbol("r_i", "%")], step: Annotated[Floats, Symbol("Δt", "h")]
) -> Annotated[Floats, Symbol("H", "h")]:
    """Add up the steps, each at its rate: the hours at the standard state they stand for."""
    total: Floats = np.sum(rates, axis=-1) * step
    return float(total) if np.ndim(total) == 0 else total
