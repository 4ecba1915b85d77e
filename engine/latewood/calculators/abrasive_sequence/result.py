"""What abrasive-sequence answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.abrasive_sequence.answer import AbrasiveCount, GapWork, GradeSize, SandRow, TrialStep
from latewood.declare import F, Q
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Sequences by zone and part, and what they come to."""

    rows: Annotated[tuple[SandRow, ...], F("Zones and parts, the field first")]
    grades: Annotated[tuple[GradeSize, ...], F("Grades used or at hand, each named in every system by its size")]
    abrasives: Annotated[tuple[AbrasiveCount, ...], F("Discs, sheets and belts, by grade and machine")]
    protocol: Annotated[tuple[TrialStep, ...], F("How to make a trial, where a first grade rests on none")] = ()
    gaps: Annotated[tuple[GapWork, ...], F("Work on the gaps, by what is done to them")] = ()
    removal: (
        Annotated[Number, Q("um", "Deepest that the floor is sanded, stairs apart: fasteners are set below it")] | None
    ) = None
    time: (
        Annotated[Number, Q("h", "Work of one person on all rows whose time is known, gaps and vacuuming apart")] | None
    ) = None
    vacuum_time: Annotated[Number, Q("h", "Work of vacuuming the floor after each grade")] | None = None
    dust_mass: Annotated[Number, Q("kg", "Dust of wood made, before any is caught")] | None = None
    waste: Left = ()
    vibration_exposure: (
        Annotated[
            Number, Q("m/s2", "Vibration at the hand over 8 h, of one person who does it all or a full day of it")
        ]
        | None
    ) = None
