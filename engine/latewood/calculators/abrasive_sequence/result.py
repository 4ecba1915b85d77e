"""What abrasive-sequence answers."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.abrasive_sequence.fields import GapTreatment
from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import Machine
from latewood.records.abrasive import System
from latewood.records.machine import AbrasiveForm
from latewood.rules.faces import Part
from latewood.rules.sanding_work.fields import SandStep
from latewood.rules.waste import Left
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


class SandRow(msgspec.Struct, frozen=True, kw_only=True):
    """One zone and part."""

    id: Annotated[str, F("Zone and part, and the item where there may be several")]
    zone: Annotated[str, F("Zone")]
    part: Annotated[Part, F("Part of the deck")]
    item: Annotated[str, F("Which stairs, guard or extra")] | None = None
    status: Annotated[
        Literal["planned", "refused", "impossible"],
        F("Planned; refused where a machine must not go; impossible with the grades at hand"),
    ]
    machine: Annotated[Machine, F("Machine: id of its record")]
    sequence: Annotated[str, F("Grades, coarse to fine, in one line; those to fetch among them")]
    worst_ratio: Annotated[float, Q("%", "Largest step of the sequence")] | None = None
    fetch: Annotated[str, F("Grades to fetch, without which there is no sequence")] | None = None
    trials: Annotated[str, F("Grades to try on a hidden patch, fine to coarse, until no grey is left")] | None = None
    next_trial: Annotated[str, F("Grade to try next, after the patches so far")] | None = None
    layer: Annotated[Number, Q("um", "Depth to sound wood, from the top of the ridges")] | None = None
    removal: (
        Annotated[Number, Q("um", "Depth taken off in all: the layer and the scratches of all grades but the last")]
        | None
    ) = None
    uptake: (
        Annotated[Number, Q("%", "Finish taken up after the last grade, beside the grade rates hold for")] | None
    ) = None
    relative_life: Annotated[Number, Q("%", "Life of the finish on it, beside the same")] | None = None
    steps: Annotated[tuple[SandStep, ...], F("The grades in order")] = ()
    time: Annotated[Number, Q("h", "Work of one person; left out where no pace or amount is known")] | None = None
    dust_mass: Annotated[Number, Q("g", "Dust of wood made; left out where no area is known")] | None = None


class GradeSize(msgspec.Struct, frozen=True, kw_only=True):
    """One grade, and what comes nearest to it by size in each system."""

    id: Annotated[str, F("Grade")]
    system: Annotated[System, F("System it belongs to")]
    grain_size: Annotated[float, Q("um", "Grain size")]
    fepa_p: Annotated[str, F("Nearest grade of the FEPA P series; left out where none is within a step")] | None = None
    cami: Annotated[str, F("Nearest CAMI grade; left out where none is within a step")] | None = None
    jis: Annotated[str, F("Nearest JIS grade; left out where none is within a step")] | None = None


class AbrasiveCount(msgspec.Struct, frozen=True, kw_only=True):
    """Discs, sheets or belts of one grade for one machine."""

    id: Annotated[str, F("Grade and machine")]
    abrasive: Annotated[str, F("Grade")]
    machine: Annotated[Machine, F("Machine: id of its record")]
    form: Annotated[AbrasiveForm, F("What is counted: discs, sheets or belts")]
    typical_count: Annotated[int, F("How many by the median")]
    count: Annotated[int, F("How many to have: with the machine's other grades enough at the confidence asked for")]
    at_hand: Annotated[int, F("How many are there already")]
    to_buy: Annotated[int, F("How many to buy: whole boxes where they are sold so")]
    boxes: Annotated[int, F("Boxes to buy, where they are sold so")] | None = None


class ZoneSanding(msgspec.Struct, frozen=True, kw_only=True):
    """Sanding of the floor of one zone, its field and perimeter: no end grain, gaps, stairs or guards."""

    id: Annotated[str, F("Zone")]
    removal: Annotated[Number, Q("mm", "Depth that is taken off")]
    sanding_time: Annotated[Number, Q("h", "Work of sanding; left out where no pace is known")] | None = None
    vacuum_time: Annotated[Number, Q("h", "Work of vacuuming after each grade")] | None = None
    dust_mass: Annotated[Number, Q("kg", "Dust of wood made, before any is caught")] | None = None
    typical_count: Annotated[int, F("Discs, sheets and belts by the median")]
    disc_count: Annotated[int, F("Discs, sheets and belts to have for this floor alone")]


class GapWork(msgspec.Struct, frozen=True, kw_only=True):
    """What is done in and along gaps that are treated alike."""

    id: Annotated[GapTreatment, F("What is done to them")]
    cleaning: Annotated[
        Literal["none", "blow", "rake-and-vacuum"],
        F("How loose dirt is got out before sanding; after it only by vacuum"),
    ]
    length: Annotated[float, Q("m", "Length of the gaps")]
    passes: Annotated[int, F("Runs along each gap")]
    cleaning_time: Annotated[Number, Q("h", "Work of cleaning before sanding")] | None = None
    time: Annotated[Number, Q("h", "Work along the gaps, cleaning apart")] | None = None
    full_depth_time: Annotated[Number, Q("h", "Extra work where the faces are sanded to their full depth")] | None = (
        None
    )


class TrialStep(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do in a trial."""

    id: Annotated[str, F("Place in the order, from 1")]
    message: Annotated[Clause, F("What to do")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Sequences by zone and part, and what they come to."""

    rows: Annotated[tuple[SandRow, ...], F("Zones and parts, the field first")]
    grades: Annotated[tuple[GradeSize, ...], F("Grades used or at hand, each named in every system by its size")]
    abrasives: Annotated[tuple[AbrasiveCount, ...], F("Discs, sheets and belts, by grade and machine")]
    protocol: Annotated[tuple[TrialStep, ...], F("How to make a trial, where a first grade rests on none")] = ()
    gaps: Annotated[tuple[GapWork, ...], F("Work on the gaps, by what is done to them")] = ()
    floors: Annotated[
        tuple[ZoneSanding, ...], F("Floors that are sanded whole, each by itself, as preparation has them")
    ] = ()
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

    @property
    def gap_time(self) -> Number:
        """The hours along the gaps."""
        return spread.total([gaps.time for gaps in self.gaps if gaps.time is not None])

    @property
    def gap_cleaning_time(self) -> Number:
        """The hours of cleaning gaps before sanding."""
        return spread.total([gaps.cleaning_time for gaps in self.gaps if gaps.cleaning_time is not None])
