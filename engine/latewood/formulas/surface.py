"""How warm the face of a board is: sun in, heat to sky, air and the space below, out.

Temperatures in K, irradiance in W/m2, coefficients in W/m2/K. Floats and NumPy arrays pass. The board is thin and dry
and stores nothing: an hour is long beside the minutes a board takes to follow.
"""

from __future__ import annotations

from typing import Annotated, Final

from latewood.declare import Symbol, formula
from latewood.formulas.air import ZERO_CELSIUS, Floats

#: Stefan-Boltzmann constant, W/m2/K4 (CODATA 2018).
STEFAN_BOLTZMANN: Final = 5.670374419e-8

#: Newton steps from the air's temperature: the balance is nearly straight, four leave at most a millikelvin.
_STEPS: Final = 4


@formula(
    symbols="ε_s = ε_0 + (1 − ε_0)·c, ε_0 = 0.711 + 0.56 t_d/100 + 0.73 (t_d/100)², t_d in °C",
    source="Berdahl and Martin 1984, Emissivity of clear skies, Solar Energy 32(5)",
    where="clear sky by dew point, without the small daily term; cloud closes what is left; recalled",
    holds="dew point -20 to 30 °C; low cloud as warm as the air",
)
def sky_emissivity(
    dew_point: Annotated[Floats, Symbol("t_d", "degC")], cloud: Annotated[Floats, Symbol("c", "%")]
) -> Annotated[Floats, Symbol("ε_s", "%")]:
    """Find how much of a black body's heat the sky sends down."""
    hundredths = (dew_point - ZERO_CELSIUS) / 100.0
    clear = 0.711 + 0.56 * hundredths + 0.73 * hundredths**2
    return clear + (1 - clear) * cloud


@formula(
    symbols="h_c = 2.8 + 3.0 u",
    source="Watmuff, Charters and Proctor 1977, Solar and wind induced external coefficients, COMPLES",
    where="flat plate outdoors, without the share of radiation; recalled",
    holds="wind of at most 7 m/s",
)
def convection(wind_speed: Annotated[Floats, Symbol("u", "m/s")]) -> Annotated[Floats, Symbol("h_c", "W/m2/K")]:
    """Estimate how readily a board gives heat to moving air."""
    return 2.8 + 3.0 * wind_speed


@formula(
    symbols="α·G + ε·ε_s·σ·T_a⁴ − ε·σ·T_s⁴ = (h_c + h_b)·(T_s − T_a), solved for T_s",
    source="Duffie and Beckman, Solar Engineering of Thermal Processes, Wiley",
    where="heat balance of an exposed plate; recalled",
    holds="thin dry board without storage; h_b is what the air below takes, 0 to 5 W/m2/K",
)
def board_surface_temperature(
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
    irradiance: Annotated[Floats, Symbol("G", "W/m2")],
    sky: Annotated[Floats, Symbol("ε_s", "%")],
    convection: Annotated[Floats, Symbol("h_c", "W/m2/K")],
    absorptance: Annotated[Floats, Symbol("α", "%")],
    emissivity: Annotated[Floats, Symbol("ε", "%")],
    below: Annotated[Floats, Symbol("h_b", "W/m2/K")],
) -> Annotated[Floats, Symbol("T_s", "degC")]:
    """Balance sun against sky, air and the space below: the temperature of the board's face."""
    gained = absorptance * irradiance + emissivity * sky * STEFAN_BOLTZMANN * air_temperature**4
    carried = convection + below
    radiated = emissivity * STEFAN_BOLTZMANN
    found = air_temperature + 0.0 * gained
    for _ in range(_STEPS):
        cubed = found * found * found
        excess = gained - radiated * cubed * found - carried * (found - air_temperature)
        found = found + excess / (4 * radiated * cubed + carried)
    return found


@formula(
    symbols="T_e = T_a + α·G/h_o − ε·ΔR/h_o",
    source="ASHRAE Handbook, Fundamentals",
    where="sol-air temperature; ε·ΔR/h_o is 3.9 K for a level surface; read second-hand",
    holds="one coefficient for wind and radiation together: 17 W/m2/K in the handbook's summer",
)
def sol_air_temperature(
    air_temperature: Annotated[Floats, Symbol("T_a", "degC")],
    irradiance: Annotated[Floats, Symbol("G", "W/m2")],
    absorptance: Annotated[Floats, Symbol("α", "%")],
    exchange: Annotated[Floats, Symbol("h_o", "W/m2/K")],
    sky_loss: Annotated[Floats, Symbol("ε·ΔR", "W/m2")],
) -> Annotated[Floats, Symbol("T_e", "degC")]:
    """Add what the sun brings and take off what the sky draws: the handbook's simpler surface temperature."""
    return air_temperature + (absorptance * irradiance - sky_loss) / exchange
