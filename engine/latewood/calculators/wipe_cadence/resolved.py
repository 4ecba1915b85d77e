"""What holds for one request: boards, crew, paces, and the times of the coating at 23 °C, in SI."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

from latewood.calculators.wipe_cadence.fields import CadenceRun
from latewood.records import Coating, WipingRegime
from latewood.rules.old_and_new_finish import Pair
from latewood.rules.wiping import Span
from latewood.uncertainty.spread import Number

#: Temperature of boards that times are given for, 23 °C: taken where none is given.
STANDARD: Final = 296.15


@dataclass(frozen=True)
class Crew:
    """Who does what. Without wipers the appliers wipe; without cutters they cut in."""

    appliers: int
    wipers: int
    cutters: int

    @property
    def wiping(self) -> int:
        """People with cloths."""
        return self.wipers or self.appliers

    @property
    def cutting(self) -> int:
        """People with brushes at the edges."""
        return self.cutters or self.appliers


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """Inputs with nothing left open, the times to wiping at 23 °C.

    ``beyond`` is the limit of the finish that the boards are past: which, and what it is. ``cloth`` is what one cloth
    does for: of the volume laid on where that is given, else of the area.
    """

    over: Pair
    coating: Coating
    regime: WipingRegime
    runs: tuple[CadenceRun, ...]
    temperature: float
    humidity: float
    coldest: float
    clock: Callable[..., Any]
    dwell: Callable[..., Any]
    wipe: Span
    longest: float
    second: Span | None
    crew: Crew
    paces: Mapping[str, Number]
    turn: float
    arm_reach: float
    ahead: int
    asked: int | None
    beyond: tuple[str, float] | None
    applied: Number | None
    cloth: Number
    oil: bool

    @property
    def area(self) -> float:
        """Floor of all runs, gaps counted."""
        return math.fsum(run.courses * run.course_length * run.pitch for run in self.runs)
