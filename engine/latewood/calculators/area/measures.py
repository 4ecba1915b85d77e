"""What a take-off measured: faces, rows of the answer, and what was left open."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from latewood.calculators.area.extras import ExtraArea
from latewood.calculators.area.floor import Floor
from latewood.calculators.area.guards import GuardArea
from latewood.calculators.area.labour import Measured
from latewood.calculators.area.stairs import StairArea
from latewood.calculators.area.zones import ZoneArea


@dataclass
class Measures:
    """What was measured."""

    faces: list[Measured] = field(default_factory=list)
    zones: tuple[ZoneArea, ...] = ()
    stairs: tuple[StairArea, ...] = ()
    guards: tuple[GuardArea, ...] = ()
    extras: tuple[ExtraArea, ...] = ()
    floors: list[Floor] = field(default_factory=list)
    bare: list[str] = field(default_factory=list)
    #: Where the boards of each zone are said.
    places: dict[str, str] = field(default_factory=dict)
    obstacle_edge: float | None = None
    counts: dict[str, Any] = field(default_factory=dict)
