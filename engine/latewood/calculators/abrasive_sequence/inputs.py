"""What abrasive-sequence is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.abrasive_sequence.fields import GapTreatment, PackedGaps, Profile, SandFace
from latewood.declare import F, Q
from latewood.records import Abrasive, Coating, Condition, Species
from latewood.rules.days import AsOf
from latewood.rules.hazard_fields import LeadTested, LeadTestedBy, LeadTestedOn, Old, Preservative, PreservativeProof
from latewood.rules.hazards import YearBuilt, YearRules
from latewood.rules.lead import Extraction
from latewood.rules.sanding_work.fields import (
    DiscWear,
    LastGrade,
    SandPart,
    SandPatch,
    StockGrade,
    WayOfSanding,
    YearsBare,
)
from latewood.rules.signs import Sign
from latewood.uncertainty.spread import Number


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be sanded, what it is like, and what there is to sand it with."""

    area: Annotated[float, Q("m2", "Floor to sand, as one field", ge=0, le=1e5, example="320 ft2")] | None = None
    faces: Annotated[tuple[SandFace, ...], F("The faces to sand, instead of one area")] = ()
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    coating: Annotated[Coating, F("Coating to be applied", example="clear-penetrating-oil")] | None = None
    condition: Annotated[Condition, F("What the surface is like; grey and sound if left out")] | None = None
    profile: Annotated[Profile, F("Face of the boards; smooth if left out")] | None = None
    cupped: Annotated[bool, F("Whether the boards are cupped: raised along their edges")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it; it says what the surface is like too", max_items=30)] = ()
    layer: (
        Annotated[
            Number,
            Q("um", "Depth to sound wood, where it was measured", ge=0, le=5000, example="150-300 um", uncertain=True),
        ]
        | None
    ) = None
    years_bare: YearsBare | None = None
    flattening: (
        Annotated[float, Q("mm", "Depth taken off beyond sound wood, to make it flat", ge=0, le=5, example="0.5 mm")]
        | None
    ) = None
    first_grade: Annotated[Abrasive, F("Grade to begin with, on every part", example="p60")] | None = None
    last_grade: LastGrade | None = None
    largest_ratio: (
        Annotated[
            float,
            Q(
                "%",
                "Largest step from a grade to the next; the practice's if left out",
                ge=101,
                le=400,
                example="175 %",
            ),
        ]
        | None
    ) = None
    stock: Annotated[
        tuple[StockGrade, ...], F("Abrasive at hand; every grade of the P series if left out", max_items=100)
    ] = ()
    parts: Annotated[tuple[SandPart, ...], F("Machines and grades of single parts", max_items=20)] = ()
    patches: Annotated[tuple[SandPatch, ...], F("What trials on the deck itself showed", max_items=100)] = ()
    gap_treatment: (
        Annotated[
            GapTreatment,
            F("What is done to the gaps; clean-only if left out"),
        ]
        | None
    ) = None
    gap_scope: (
        Annotated[
            Literal["visible-edge", "full-depth"],
            F("How deep the faces of gaps are worked: what can be seen, if left out; full depth is a line of its own"),
        ]
        | None
    ) = None
    gap_filled: (
        Annotated[bool, F("Whether the profile tool fills the gap, so that one run serves both faces")] | None
    ) = None
    packed_gaps: PackedGaps | None = None
    downwind_clear: Annotated[bool, F("Whether nobody, and nobody's property, is downwind")] | None = None
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: Annotated[Old, F("Coating on it now: a family, none or unknown", example="none")] | None = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    year_built: YearBuilt | None = None
    jurisdiction: YearRules | None = None
    as_of: AsOf | None = None
    extraction: Annotated[Extraction, F("Extraction at the sanders; none if left out")] | None = None
    practice: WayOfSanding | None = None
    pressing: Annotated[Literal["light", "hard"], F("How hard one presses; never counted as a faster cut")] | None = (
        None
    )
    wear: Annotated[DiscWear, F("How one's own discs, sheets or belts wear, where it was measured")] | None = None
    confidence: Annotated[float, Q("%", "Chance that the abrasive suffices", ge=50, le=99.9, example="90 %")] | None = (
        None
    )
