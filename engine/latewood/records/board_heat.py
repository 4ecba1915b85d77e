"""What a board stores and takes up where a request does not say it, and how far models of its temperature differ."""

from __future__ import annotations

from typing import Annotated, ClassVar

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N


class BoardHeat(Record, frozen=True, kw_only=True):
    """Numbers of the temperature of boards. How thick they usually are stands in the model of drying."""

    KIND: ClassVar[str] = "board-heat"

    density: Annotated[Sourced, N("kg/m3", "Density of boards of no named wood", least=200, most=1300)]
    moisture: Annotated[Sourced, N("%", "Moisture content at which boards store heat", least=5, most=28)]
    sky_difference: Annotated[Sourced, N("K", "What another model of the clear sky makes of their face", most=5)]
