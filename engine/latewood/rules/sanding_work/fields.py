"""What a caller says of abrasive, machines and trials, asked in the same words wherever sanding is estimated."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.records import Abrasive, Machine, SandingPractice
from latewood.records.machine import AbrasiveForm
from latewood.rules.faces import ID, Part
from latewood.uncertainty.spread import Number

#: Fields that a job asks for in the same words and bounds as the calculator it hands them to.
WayOfSanding = Annotated[SandingPractice, F("Way of sanding, where practitioners differ", example="open-grain")]
LastGrade = Annotated[Abrasive, F("Grade to end with, on the floor and its stairs", example="p80")]
YearsBare = Annotated[int, F("Years the wood has stood bare", ge=0, le=100, example=6)]


class StockGrade(msgspec.Struct, frozen=True, kw_only=True):
    """Abrasive at hand or on sale: a grade of the shelf, or one's own name with a grain size."""

    grade: (
        Annotated[Abrasive, F("Grade, with its system: p80 is FEPA P80, cami-80 is CAMI 80", example="p80")] | None
    ) = None
    id: (
        Annotated[str, F("Name of a grade that is not on the shelf", pattern=ID, max_length=40, example="net-a")] | None
    ) = None
    grain_size: (
        Annotated[float, Q("um", "Grain size of a grade that is not on the shelf", ge=1, le=5000, example="35 um")]
        | None
    ) = None
    form: Annotated[AbrasiveForm, F("Discs, sheets or belts; for any machine if left out")] | None = None
    diameter: (
        Annotated[float, Q("mm", "Diameter of the discs; any pad if left out", ge=50, le=600, example="150 mm")] | None
    ) = None
    disc_holes: (
        Annotated[int, F("Holes in a disc, 0 for none; as in the pad if left out", ge=0, le=500, example=8)] | None
    ) = None
    net: Annotated[bool, F("Whether it is a net, which lets dust through everywhere")] | None = None
    at_hand: Annotated[int, F("How many are there already", ge=0, le=100000, example=10)] | None = None
    per_box: (
        Annotated[int, F("Pieces in a box as sold; sold singly if left out", ge=1, le=10000, example=50)] | None
    ) = None


class SandPart(msgspec.Struct, frozen=True, kw_only=True):
    """How one part is sanded, where not as the practice has it."""

    part: Annotated[Part, F("Part of the deck")]
    machine: Annotated[Machine, F("Machine for it", example="random-orbit-150")] | None = None
    speed_fraction: (
        Annotated[
            float,
            Q("%", "Speed as a share of full speed; middle of the range if left out", ge=1, le=100, example="60 %"),
        ]
        | None
    ) = None
    first_grade: Annotated[Abrasive, F("Grade to begin with", example="p60")] | None = None
    last_grade: Annotated[Abrasive, F("Grade to end with", example="p80")] | None = None


class SandPatch(msgspec.Struct, frozen=True, kw_only=True):
    """What a trial on the deck itself showed; it overrules table and model."""

    zone: Annotated[str, F("Zone it was tried in; all if left out", pattern=ID, example="north")] | None = None
    part: Annotated[Part, F("Part it was tried on; the floor if left out")] | None = None
    grade: Annotated[Abrasive, F("Grade tried", example="p120")]
    machine: Annotated[Machine, F("Machine used", example="random-orbit-150")] | None = None
    passes: Annotated[int, F("Passes made", ge=1, le=20, example=1)] = 1
    grey_left: Annotated[bool, F("Whether grey, film or stripes were left")]


class DiscWear(msgspec.Struct, frozen=True, kw_only=True):
    """How one's own discs wear: the cut falls as a + b·exp(−c·t)."""

    steady: Annotated[float, Q("%", "Part of a new disc's cut that stays, a", ge=1, le=99, example="40 %")]
    falling: Annotated[float, Q("%", "Part that wears off, b", ge=1, le=99, example="60 %")]
    wear_rate: Annotated[float, Q("1/min", "How fast it wears off, c", ge=0.001, le=10, example="0.1 1/min")]
    change_at: Annotated[float, Q("%", "Share of a new disc's cut at which it is changed", ge=1, le=99, example="60 %")]


class SandStep(msgspec.Struct, frozen=True, kw_only=True):
    """One grade of a sequence, by one machine."""

    id: Annotated[str, F("Grade, and the machine where it is not the row's")]
    abrasive: Annotated[str, F("Grade")]
    machine: Annotated[Machine, F("Machine, where it is not the row's: id of its record")] | None = None
    depth: Annotated[
        Number,
        Q("um", "What this grade has to take off, as an even layer: grey and ridges, or the scratches before it"),
    ]
    per_pass: Annotated[Number, Q("um", "What one pass takes off")]
    passes: Annotated[int, F("Passes, by the median, or as the patch needed")]
    most_passes: Annotated[int, F("Passes that suffice nine times in ten")]
    time: (
        Annotated[Number, Q("h", "Work of one person, the depth counted; left out where no pace or amount is known")]
        | None
    ) = None
