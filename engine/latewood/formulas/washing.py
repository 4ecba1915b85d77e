"""Mixing and rinsing: how much of a wash agent, in how much water, on so large a surface.

Strengths are weights in a litre, never parts or ounces by volume: a fluid ounce of powder is no weight, and half the
errors on decks are made there. A percentage on a label becomes one by the density of the liquid.
"""

from __future__ import annotations

from typing import Annotated, Final

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_MASS = "conservation of mass: what is in the solution came from the stock"
_CDC = "CDC, Best Practices for Environmental Cleaning in Global Healthcare Facilities, appendix E"
_CHLORINATION = "White, Handbook of Chlorination, Van Nostrand Reinhold 1972"

#: Molar masses of NaOCl and of Cl2, 74.442 and 70.906 g/mol, for one counts as the other.
HYPOCHLORITE_PER_CHLORINE: Final = 74.442 / 70.906
#: A gram in a hundred millilitres is a percent of this (kg/m3): the meaning of trade percent.
KILOGRAM_PER_LITRE: Final = 1000.0


@formula(symbols="V = A/r", source="geometry: the meaning of an area wetted by a litre")
def wash_volume(
    area: Annotated[Number, Symbol("A", "m2")], coverage: Annotated[Number, Symbol("r", "m2/L")]
) -> Annotated[Number, Symbol("V", "L")]:
    """Divide the area by what a litre wets: the volume of solution ready to use."""
    return area / coverage


@formula(symbols="m = V·c", source=_MASS, where="the meaning of a weight in a litre")
def active_mass(
    volume: Annotated[Number, Symbol("V", "L")], strength: Annotated[Number, Symbol("c", "g/L")]
) -> Annotated[Number, Symbol("m", "g")]:
    """Multiply volume by strength: the weight of the active substance."""
    return volume * strength


@formula(symbols="m_p = m/w", source=_CDC, where="example 2, bleach powder", holds="share above 0")
def product_mass(
    mass: Annotated[Number, Symbol("m", "g")], active: Annotated[Number, Symbol("w", "%")]
) -> Annotated[Number, Symbol("m_p", "g")]:
    """Divide the weight of the active substance by its share in the product: what to weigh out."""
    return mass / active


@formula(symbols="c = w·ρ", source="the meaning of a share by weight", holds="w by weight, not by volume")
def strength_of_liquid(
    active: Annotated[Number, Symbol("w", "%")], density: Annotated[Number, Symbol("ρ", "kg/m3")]
) -> Annotated[Number, Symbol("c", "g/L")]:
    """Multiply a share by weight by the density of the liquid: the weight in a litre."""
    return active * density


@formula(
    symbols="ρ = ρ_1 + (ρ_2 − ρ_1)·(w − w_1)/(w_2 − w_1)",
    source="arithmetic: a straight line between two tabulated solutions",
    holds="w between w_1 and w_2, which lie a few percent apart",
)
def density_between(
    active: Annotated[Number, Symbol("w", "%")],
    weaker: Annotated[Number, Symbol("w_1", "%")],
    stronger: Annotated[Number, Symbol("w_2", "%")],
    weaker_density: Annotated[Number, Symbol("ρ_1", "kg/m3")],
    stronger_density: Annotated[Number, Symbol("ρ_2", "kg/m3")],
) -> Annotated[Number, Symbol("ρ", "kg/m3")]:
    """Find the density of a solution between those of a weaker and of a stronger one."""
    return weaker_density + (stronger_density - weaker_density) * ((active - weaker) / (stronger - weaker))


@formula(
    symbols="w = w_Cl·74.442/70.906",
    source=_CHLORINATION,
    where="weight percent of sodium hypochlorite and of available chlorine; 1.05 there, here the molar masses",
    holds="available chlorine by weight: a molecule of hypochlorite counts as one of chlorine, Cl2",
)
def hypochlorite_of_chlorine(
    chlorine: Annotated[Number, Symbol("w_Cl", "%")],
) -> Annotated[Number, Symbol("w", "%")]:
    """Turn available chlorine into the sodium hypochlorite it stands for."""
    return chlorine * HYPOCHLORITE_PER_CHLORINE


@formula(
    symbols="c = T·1 kg/L·74.442/70.906",
    source=_CHLORINATION,
    where="trade percent: grams of available chlorine in 100 mL",
    holds="trade percent, also called percent by volume; no density is needed",
)
def strength_of_trade_percent(trade: Annotated[Number, Symbol("T", "%")]) -> Annotated[Number, Symbol("c", "g/L")]:
    """Turn trade percent, a weight of chlorine in a volume, into the weight of hypochlorite in a litre."""
    return trade * KILOGRAM_PER_LITRE * HYPOCHLORITE_PER_CHLORINE


@formula(symbols="V_s = V·c/c_s", source=_CDC, where="examples 1 and 3", holds="stock at least as strong as the mix")
def stock_volume(
    volume: Annotated[Number, Symbol("V", "L")],
    strength: Annotated[Number, Symbol("c", "g/L")],
    stock_strength: Annotated[Number, Symbol("c_s", "g/L")],
) -> Annotated[Number, Symbol("V_s", "L")]:
    """Multiply by strength over the stock's strength: how much of the stock goes in."""
    return volume * strength / stock_strength


@formula(symbols="V_w = V − V_s", source="volumes of water and a dilute solution add", holds="within 1 % below 10 %")
def dilution_water(
    volume: Annotated[Number, Symbol("V", "L")], stock_volume: Annotated[Number, Symbol("V_s", "L")]
) -> Annotated[Number, Symbol("V_w", "L")]:
    """Take the stock from the whole: the water to mix it with."""
    return volume - stock_volume


@formula(symbols="n = c_s/c − 1", source=_CDC, where="examples 1 and 3: parts of water to one part of stock")
def parts_of_water(
    strength: Annotated[Number, Symbol("c", "g/L")], stock_strength: Annotated[Number, Symbol("c_s", "g/L")]
) -> Annotated[Number, Symbol("n", "%")]:
    """Divide strengths and take one: the water as a share of the stock."""
    return stock_strength / strength - 1


@formula(symbols="V_r = A·d", source="geometry: a litre on a square metre stands a millimetre deep")
def rinse_volume(
    area: Annotated[Number, Symbol("A", "m2")], rinse_depth: Annotated[Number, Symbol("d", "mm")]
) -> Annotated[Number, Symbol("V_r", "L")]:
    """Multiply the area by the depth of water: what is rinsed away, and must go somewhere."""
    return area * rinse_depth
