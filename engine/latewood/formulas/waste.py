"""What waste weighs, and how much room it takes."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number


@formula(symbols="m = n·m_1", source="arithmetic")
def mass_of_pieces(
    count: Annotated[Number, Symbol("n", "%")], piece_mass: Annotated[Number, Symbol("m_1", "g")]
) -> Annotated[Number, Symbol("m", "kg")]:
    """Multiply the mass of a piece by their number."""
    return count * piece_mass


@formula(symbols="m = A·m_A", source="arithmetic")
def mass_of_area(
    area: Annotated[Number, Symbol("A", "m2")], area_mass: Annotated[Number, Symbol("m_A", "g/m2")]
) -> Annotated[Number, Symbol("m", "kg")]:
    """Multiply the mass of a square metre by the area."""
    return area * area_mass


@formula(symbols="m = V·ρ", source="the meaning of a density")
def mass_of_volume(
    volume: Annotated[Number, Symbol("V", "L")], density: Annotated[Number, Symbol("ρ", "kg/m3")]
) -> Annotated[Number, Symbol("m", "kg")]:
    """Multiply the volume by the density."""
    return volume * density


@formula(symbols="V = m/ρ", source="the meaning of a density", holds="as it lies in the container, air in it counted")
def volume_of_mass(
    mass: Annotated[Number, Symbol("m", "kg")], density: Annotated[Number, Symbol("ρ", "kg/m3")]
) -> Annotated[Number, Symbol("V", "L")]:
    """Divide the mass by the density it lies at."""
    return mass / density
