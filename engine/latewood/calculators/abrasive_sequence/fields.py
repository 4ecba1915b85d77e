"""What a caller says of faces, stock, machines and patches."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import Abrasive, Coating, Condition, Machine, SandingPractice, Species
from latewood.records.machine import AbrasiveForm
from latewood.rules.faces import ID, Part
from latewood.rules.hazard_fields import LeadTested, LeadTestedBy, LeadTestedOn, Old, Preservative, PreservativeProof
from latewood.rules.signs import Sign

Profile = Literal["smooth", "grooved"]
GapTreatment = Literal["none", "clean-only", "ease-edges", "machine-profile", "hand"]


#: Fields that a job asks for in the same words and bounds as the calculator it hands them to.
WayOfSanding = Annotated[SandingPractice, F("Way of sanding, where practitioners differ", example="open-grain")]
LastGrade = Annotated[Abrasive, F("Grade to end with, on the floor and its stairs", example="p80")]
YearsBare = Annotated[int, F("Years the wood has stood bare", ge=0, le=100, example=6)]
PackedGaps = Annotated[float, Q("%", "Share of the gaps that is packed with dirt", ge=0, le=100, example="20 %")]


class SandFace(msgspec.Struct, frozen=True, kw_only=True):
    """One face to be sanded."""

    zone: Annotated[str, F("Zone the face belongs to", pattern=ID, example="north")]
    part: Annotated[Part, F("Part of the deck")]
    item: Annotated[str, F("Which of several alike, such as one of two stairs", pattern=ID)] | None = None
    area: Annotated[float, Q("m2", "Area of the face", ge=0, le=1e5, example="320 ft2")]
    length: (
        Annotated[
            float, Q("m", "Length of edge work, or of gaps, where the face is one", ge=0, le=1e6, example="60 ft")
        ]
        | None
    ) = None
    count: Annotated[int, F("Steps, where the face is a flight of stairs", ge=0, le=10000, example=5)] | None = None
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None
    coating: Annotated[Coating, F("Coating to be applied, where it differs", example="solid-colour-stain")] | None = (
        None
    )
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: (
        Annotated[Old, F("Coating on it now, where it differs: a family, none or unknown", example="none")] | None
    ) = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    condition: Annotated[Condition, F("What the surface is like, where it differs")] | None = None
    profile: Annotated[Profile, F("Face of the boards, where it differs")] | None = None
    cupped: Annotated[bool, F("Whether the boards are cupped, where it differs")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it, where it differs", max_items=30)] = ()
    gap_treatment: Annotated[GapTreatment, F("What is done to gaps, where the face is one and it differs")] | None = (
        None
    )


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
