"""What a caller says of faces and gaps."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import Coating, Condition, Species
from latewood.rules.faces import ID, Part
from latewood.rules.hazard_fields import (
    Carriers,
    LeadTested,
    LeadTestedBy,
    LeadTestedOn,
    Old,
    Preservative,
    PreservativeProof,
)
from latewood.rules.signs import Sign

Profile = Literal["smooth", "grooved"]
GapTreatment = Literal["none", "clean-only", "ease-edges", "machine-profile", "hand"]
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
    carriers: Carriers | None = None
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: (
        Annotated[Old, F("Coating on it now, where it differs: a family, none or unknown", example="none")] | None
    ) = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    condition: Annotated[Condition, F("What the surface is like, where it differs")] | None = None
    trials_hold: (
        Annotated[bool, F("Whether trials hold for it: not where it is washed or stripped after them; yes if left out")]
        | None
    ) = None
    profile: Annotated[Profile, F("Face of the boards, where it differs")] | None = None
    cupped: Annotated[bool, F("Whether the boards are cupped, where it differs")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it, where it differs", max_items=30)] = ()
    gap_treatment: Annotated[GapTreatment, F("What is done to gaps, where the face is one and it differs")] | None = (
        None
    )
