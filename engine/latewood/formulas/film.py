"""Volume solids, wet film and dry film, for coatings that form a film.

Penetrating finishes build no film: none of these formulas may be used for them.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOLIDS = "ASTM D2697 / ISO 3233, volume of non-volatile matter (volume solids) in coatings"
_HOLDS = "film-forming coatings on a surface that soaks up nothing; all solids stay in the film"


@formula(symbols="r = S/t_d", source=_SOLIDS, where="definition of volume solids", holds=_HOLDS)
def rate_from_film(
    volume_solids: Annotated[Number, Symbol("S", "%")], dry_film_thickness: Annotated[Number, Symbol("t_d", "um")]
) -> Annotated[Number, Symbol("r", "m2/L")]:
    """Divide the volume solids by the dry film wanted: the theoretical spreading rate."""
    return volume_solids / dry_film_thickness


@formula(symbols="t_d = t_w·S", source=_SOLIDS, where="definition of volume solids", holds=_HOLDS)
def dry_film_thickness(
    wet_film_thickness: Annotated[Number, Symbol("t_w", "um")], volume_solids: Annotated[Number, Symbol("S", "%")]
) -> Annotated[Number, Symbol("t_d", "um")]:
    """Take the share of the wet film that does not evaporate: the dry film."""
    return wet_film_thickness * volume_solids


@formula(symbols="t_w = t_d/S", source=_SOLIDS, where="definition of volume solids", holds=_HOLDS)
def wet_film_for(
    dry_film_thickness: Annotated[Number, Symbol("t_d", "um")], volume_solids: Annotated[Number, Symbol("S", "%")]
) -> Annotated[Number, Symbol("t_w", "um")]:
    """Divide the dry film wanted by the volume solids: the wet film to lay on."""
    return dry_film_thickness / volume_solids


@formula(
    symbols="S' = S/(1 + a)",
    source=_SOLIDS,
    where="volume solids of the thinned coating",
    holds="a is the volume of thinner added to one volume of coating; the thinner leaves no solids",
)
def thinned_solids(
    volume_solids: Annotated[Number, Symbol("S", "%")], thinning: Annotated[Number, Symbol("a", "%")]
) -> Annotated[Number, Symbol("S'", "%")]:
    """Spread the same solids over the volume with its thinner: the solids of the thinned coating."""
    return volume_solids / (1 + thinning)


@formula(
    symbols="V_p = V/(1 + a)",
    source="volume balance: a thinned coating is the product and its thinner; volumes taken to add up",
    holds="a is the volume of thinner added to one volume of product",
)
def volume_before_thinning(
    mixture: Annotated[Number, Symbol("V", "L")], thinning: Annotated[Number, Symbol("a", "%")]
) -> Annotated[Number, Symbol("V_p", "L")]:
    """Take the thinner out of the thinned volume: what comes from the containers."""
    return mixture / (1 + thinning)
