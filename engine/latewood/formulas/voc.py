"""Content of volatile organic compounds (VOC), on the basis a rule asks for.

The same paint may be 100 g/L of product and 252 g/L less water: a content without its basis cannot be held against
a limit.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(
    symbols="c = m/V",
    source="Directive 2004/42/EC",
    where="Annex II: grams per litre of the product ready to use; also 40 CFR 59.406(a)(2), low-solids coatings",
)
def product_voc_content(
    voc_mass: Annotated[Number, Symbol("m", "g")], volume: Annotated[Number, Symbol("V", "L")]
) -> Annotated[Number, Symbol("c", "g/L")]:
    """Divide the mass of volatile compounds by the volume of product: the content on the product basis."""
    return voc_mass / volume


@formula(
    symbols="c_r = c/(1 − w/ρ_w − e/ρ_e)",
    source="40 CFR 59, subpart D",
    where="59.406(a)(1), of the same form as 59.104(a)(1): by the volume without water and exempt compounds",
    holds="water and exempt compounds fill less than the whole volume",
)
def regulatory_voc_content(
    voc_content: Annotated[Number, Symbol("c", "g/L")],
    water_content: Annotated[Number, Symbol("w", "g/L")],
    water_density: Annotated[Number, Symbol("ρ_w", "kg/m3")],
    exempt_content: Annotated[Number, Symbol("e", "g/L")],
    exempt_density: Annotated[Number, Symbol("ρ_e", "kg/m3")],
) -> Annotated[Number, Symbol("c_r", "g/L")]:
    """Divide by the volume left without water and exempt compounds: the regulatory content."""
    return voc_content / (1 - water_content / water_density - exempt_content / exempt_density)


@formula(symbols="m = V·c", source="Directive 2004/42/EC", where="Annex II: definition of a content in grams per litre")
def voc_mass(
    volume: Annotated[Number, Symbol("V", "L")], voc_content: Annotated[Number, Symbol("c", "g/L")]
) -> Annotated[Number, Symbol("m", "g")]:
    """Multiply volume by content: all that is drawn gives off its volatile compounds, wherever it ends up."""
    return volume * voc_content
