"""How boards of a certain look take up the sun and give off heat."""

from __future__ import annotations

from typing import Annotated, ClassVar

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N


class BoardColour(Record, frozen=True, kw_only=True):
    """A look of the boards: fresh, grey, oiled. It decides how warm they get."""

    KIND: ClassVar[str] = "board-colour"

    absorptance: Annotated[Sourced, N("%", "Share of the sunlight that the face takes up", least=1, most=99)]
    emissivity: Annotated[Sourced, N("%", "Share of a black body's heat that the face gives off", least=1, most=100)]
