"""What condition is asked."""

from __future__ import annotations

from typing import Annotated, Final, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import ConditionRule, Species
from latewood.rules import hazard_fields
from latewood.rules.days import AsOf
from latewood.rules.hazards import YearBuilt, YearRules
from latewood.rules.signs import ColourVariation, CupDepth, Sign, UndersideMoisture
from latewood.uncertainty.spread import Number

#: Ids of components: those of a job are made of zone, table and item.
COMPONENT: Final = "^[a-z][a-z0-9/-]*$"

ComponentPart = Literal[
    "boards",
    "frame",
    "ledger",
    "joists",
    "beams",
    "posts",
    "stringers",
    "guard",
    "stair",
    "fascia",
    "skirting",
    "lattice",
    "bench",
    "post",
    "wall",
]
#: Parts that are looked at and not refinished.
NOT_REFINISHED: Final[frozenset[ComponentPart]] = frozenset(
    {"frame", "wall", "ledger", "joists", "beams", "posts", "stringers"}
)
PartMaterial = Literal["wood", "composite", "metal"]
Structure = Literal["sound", "doubt", "failed", "not-looked"]


class ConditionComponent(msgspec.Struct, frozen=True, kw_only=True):
    """One part of a deck: what it is, what it looks like, and what was measured on it."""

    id: Annotated[str, F("Name of the component", pattern=COMPONENT, max_length=100, example="floor")]
    zone: (
        Annotated[
            str, F("Zone it belongs to; structure carries what is in its zone", pattern=COMPONENT, example="main")
        ]
        | None
    ) = None
    reached_over: (
        Annotated[
            str, F("Zone its floor lies in, and that people cross to reach it", pattern=COMPONENT, example="main")
        ]
        | None
    ) = None
    part: Annotated[ComponentPart, F("What it is; a frame is ledger, joists, beams and posts together")]
    material: Annotated[PartMaterial, F("What it is made of; wood if left out, metal for what carries only")] | None = (
        None
    )
    species: Annotated[Species, F("Wood species", example="western-redcedar")] | None = None
    guessed: Annotated[bool, F("Whether the species is a guess; no if left out")] | None = None
    carriers: hazard_fields.Carriers | None = None
    treatment: hazard_fields.Preservative | None = None
    treatment_evidence: hazard_fields.PreservativeProof | None = None
    old_coating: hazard_fields.OldCoating | None = None
    lead_test: hazard_fields.LeadTested | None = None
    lead_test_method: hazard_fields.LeadTestedBy | None = None
    lead_test_date: hazard_fields.LeadTestedOn | None = None
    year_built: Annotated[int, F("Year it was built, where that differs", ge=1600, le=2200, example=1996)] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it", max_items=30)] = ()
    structure: (
        Annotated[
            Structure, F("What whoever looked says of its fixing, stiffness and soundness; not-looked if left out")
        ]
        | None
    ) = None
    affected: (
        Annotated[float, Q("%", "Share of its boards or members that is damaged", ge=0, le=100, example="10 %")] | None
    ) = None
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=3, le=200, example="25 mm")] | None = None
    furrow_depth: (
        Annotated[float, Q("mm", "Depth of the furrows between hard rings", ge=0, le=50, example="1 mm")] | None
    ) = None
    cup_depth: CupDepth | None = None
    check_depth: Annotated[float, Q("mm", "Depth of the deepest checks", ge=0, le=200, example="10 mm")] | None = None
    gap: Annotated[float, Q("mm", "Narrowest gap between boards", ge=0, le=100, example="3 mm")] | None = None
    fastener_cover: (
        Annotated[
            float,
            Q(
                "mm",
                "Wood above the heads of the fasteners, below zero where they stand proud",
                ge=-20,
                le=50,
                example="2 mm",
            ),
        ]
        | None
    ) = None
    removal: Annotated[Number, Q("mm", "Planned removal", ge=0, le=20, example="0.2-0.4 mm", uncertain=True)] | None = (
        None
    )
    underside_moisture: UndersideMoisture | None = None
    new_boards: Annotated[int, F("New boards among the old", ge=0, le=100000, example=4)] | None = None
    colour_variation: ColourVariation | None = None


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The components of a deck as they were found."""

    components: Annotated[tuple[ConditionComponent, ...], F("Parts of the deck, each by itself", ge=1, max_items=500)]
    year_built: YearBuilt | None = None
    jurisdiction: YearRules | None = None
    as_of: AsOf | None = None
    condition_rule: Annotated[ConditionRule, F("Thresholds to go by; usual if left out", example="usual")] | None = None
