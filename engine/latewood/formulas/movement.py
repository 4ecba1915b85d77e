"""How boards shrink and swell, and what becomes of the gaps between them.

Moisture contents are shares of the oven-dry mass; a coefficient is the share of the size that one percentage point
changes. Floats, arrays and uncertain quantities pass.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.scores import Z90
from latewood.uncertainty.spread import Number

_HANDBOOK = "Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010"


@formula(
    symbols="ΔD = D·C·(M_2 − M_1), M in percentage points",
    source=_HANDBOOK,
    where="ch. 13, eq. 13-2",
    holds="6 to 14 % moisture content; flat-sawn boards move tangentially, mixed grain less",
)
def change_by_coefficient(
    size: Annotated[Number, Symbol("D", "mm")],
    coefficient: Annotated[Number, Symbol("C", "%")],
    moisture_from: Annotated[Number, Symbol("M_1", "%")],
    moisture_to: Annotated[Number, Symbol("M_2", "%")],
) -> Annotated[Number, Symbol("ΔD", "mm")]:
    """Multiply the size by its change for each point of moisture content and by the points."""
    return size * coefficient * (moisture_to - moisture_from) * 100


@formula(
    symbols="ΔD = D·(M_2 − M_1)/(F/S − F + M_1)",
    source=_HANDBOOK,
    where="ch. 13, eq. 13-3, with the species' own fibre saturation point F in place of 30 %",
    holds="from oven-dry up to fibre saturation, both moisture contents; above it wood neither shrinks nor swells",
)
def change_by_shrinkage(
    size: Annotated[Number, Symbol("D", "mm")],
    shrinkage: Annotated[Number, Symbol("S", "%")],
    fibre_saturation: Annotated[Number, Symbol("F", "%")],
    moisture_from: Annotated[Number, Symbol("M_1", "%")],
    moisture_to: Annotated[Number, Symbol("M_2", "%")],
) -> Annotated[Number, Symbol("ΔD", "mm")]:
    """Shrink in proportion to the moisture lost below fibre saturation, from green to oven-dry by S in all."""
    return size * (moisture_to - moisture_from) / (fibre_saturation / shrinkage - fibre_saturation + moisture_from)


@formula(
    symbols="C = 1/(100 F/S − 100 F + 10), F and S as shares",
    source=_HANDBOOK,
    where="ch. 13, eq. 13-3 for one point from 10 %; so table 13-5 follows from table 4-3",
    holds="6 to 14 % moisture content",
)
def coefficient_from_shrinkage(
    shrinkage: Annotated[Number, Symbol("S", "%")], fibre_saturation: Annotated[Number, Symbol("F", "%")]
) -> Annotated[Number, Symbol("C", "%")]:
    """Work the change of size for one point at 10 % out of the shrinkage from green to oven-dry."""
    return 1 / (100 * fibre_saturation / shrinkage - 100 * fibre_saturation + 10)


def of_boards(mean: float, variation: float) -> tuple[float, float]:
    """Return what nine boards in ten exceed and what one in ten exceeds, by a coefficient of variation."""
    apart = Z90 * variation * mean
    return mean - apart, mean + apart


@formula(
    symbols="g_2 = g_1 − ΔD",
    source="geometry: boards fixed to joists that keep their distance",
    holds="boards alike, each free to move about its middle; a gap of less than nothing means boards press",
)
def gap_after(
    gap: Annotated[Number, Symbol("g_1", "mm")], change: Annotated[Number, Symbol("ΔD", "mm")]
) -> Annotated[Number, Symbol("g_2", "mm")]:
    """Take from the gap what the boards on both sides grow, half a board each."""
    return gap - change


@formula(
    symbols="ρ_b = 1000 g/(1 + 0.159 g), g = ρ_12/1120",
    source="Wood Handbook, FPL-GTR-282, Forest Products Laboratory 2021",
    where="ch. 4, eqs 4-13 and 4-14 at 12 % moisture content, solved for the basic specific gravity",
    holds="densities at 12 %, shrinkage as usual for the density",
)
def basic_density_from(
    density: Annotated[Number, Symbol("ρ_12", "kg/m3")],
) -> Annotated[Number, Symbol("ρ_b", "kg/m3")]:
    """Take water and shrinkage out of the density at 12 %: oven-dry mass by green volume."""
    gravity = density / 1120
    return 1000 * gravity / (1 + 0.159 * gravity)
