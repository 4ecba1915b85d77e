"""How much coating goes on, how much of it stays, and how thick it lies: area, spreading rate, volume, wet film."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_HANDBOOK = "Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010"


@formula(
    symbols="V = A/r",
    source=_HANDBOOK,
    where="ch. 16, finishing with penetrating stains: rates are stated as area coated by a volume",
    holds="r is the rate at which the coating is laid on; loss is counted apart",
)
def volume_laid_on(
    area: Annotated[Number, Symbol("A", "m2")], spreading_rate: Annotated[Number, Symbol("r", "m2/L")]
) -> Annotated[Number, Symbol("V", "L")]:
    """Divide the area by the spreading rate: the volume laid on."""
    return area / spreading_rate


@formula(
    symbols="V_k = V_1·q",
    source="arithmetic: the meaning of a share",
    holds="every coat after the first takes the same share; a first coat that has dried seals the surface",
)
def later_coat_volume(
    first_coat: Annotated[Number, Symbol("V_1", "L")], share: Annotated[Number, Symbol("q", "%")]
) -> Annotated[Number, Symbol("V_k", "L")]:
    """Take a share of the first coat: a later one lays on less, because the wood is partly filled."""
    return first_coat * share


@formula(
    symbols="r = A/V",
    source=_HANDBOOK,
    where="ch. 16, finishing with penetrating stains: rates are stated as area coated by a volume",
    holds="over faces of different rates it is the rate of the whole, not the mean of the rates",
)
def overall_spreading_rate(
    area: Annotated[Number, Symbol("A", "m2")], volume: Annotated[Number, Symbol("V", "L")]
) -> Annotated[Number, Symbol("r", "m2/L")]:
    """Divide the area by the volume laid on: the spreading rate of the whole."""
    return area / volume


@formula(
    symbols="t_w = 1/r",
    source="ISO 2808, Paints and varnishes: determination of film thickness",
    where="wet film thickness; as the volume on an area, before anything evaporates or soaks in",
    holds="coatings that form a film; what soaks in has no film thickness",
)
def wet_film_thickness(
    spreading_rate: Annotated[Number, Symbol("r", "m2/L")],
) -> Annotated[Number, Symbol("t_w", "um")]:
    """Spread the volume laid on over its area: the thickness of the wet film."""
    return 1 / spreading_rate


@formula(
    symbols="r = r_s·(1 − w)",
    source="volume balance: laid on = retained + wiped off",
    holds="w below 1",
)
def rate_as_applied(
    retained_rate: Annotated[Number, Symbol("r_s", "m2/L")], wiped_off: Annotated[Number, Symbol("w", "%")]
) -> Annotated[Number, Symbol("r", "m2/L")]:
    """Turn a rate that counts only what stays into the rate at which the coating must be laid on."""
    return retained_rate * (1 - wiped_off)


@formula(
    symbols="r' = r/U",
    source="volume balance: on one area, rate and volume are each other's reciprocal",
    holds="penetrating finishes; what is wiped off stays the same share of what is laid on",
)
def rate_at_uptake(
    spreading_rate: Annotated[Number, Symbol("r", "m2/L")], uptake: Annotated[Number, Symbol("U", "%")]
) -> Annotated[Number, Symbol("r'", "m2/L")]:
    """Let a coating go further on wood that takes up less of it than the wood its rate holds for."""
    return spreading_rate / uptake


@formula(
    symbols="r = r_n·k/k_n",
    source="proportion: a finish goes as far beside another wood as the two are to absorbent wood",
    holds="penetrating finishes, on the same surface of both woods",
)
def rate_on_other_wood(
    spreading_rate: Annotated[Number, Symbol("r_n", "m2/L")],
    relative_rate: Annotated[Number, Symbol("k", "%")],
    other_relative_rate: Annotated[Number, Symbol("k_n", "%")],
) -> Annotated[Number, Symbol("r", "m2/L")]:
    """Take the rate known on one wood over to a wood that takes up more or less of the finish."""
    return spreading_rate * relative_rate / other_relative_rate


@formula(symbols="W = V·w", source="volume balance: laid on = retained + wiped off", holds="w from 0 to 1")
def volume_wiped_off(
    applied: Annotated[Number, Symbol("V", "L")], wiped_off: Annotated[Number, Symbol("w", "%")]
) -> Annotated[Number, Symbol("W", "L")]:
    """Take the share of what was laid on that is wiped off again."""
    return applied * wiped_off


@formula(symbols="V_s = V·(1 − w)", source="volume balance: laid on = retained + wiped off", holds="w from 0 to 1")
def volume_retained(
    applied: Annotated[Number, Symbol("V", "L")], wiped_off: Annotated[Number, Symbol("w", "%")]
) -> Annotated[Number, Symbol("V_s", "L")]:
    """Take what was laid on less what was wiped off: what stays on and in the wood."""
    return applied * (1 - wiped_off)
