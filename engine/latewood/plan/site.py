"""Tables of a job about sanding, fasteners and what lies round the deck. A job without them says nothing of it."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators._fasteners.fields import Fastener, FastenerMaterial, FastenerSample
from latewood.calculators._hazards import Old
from latewood.calculators._masking.fields import Below, PlantBed
from latewood.declare import F, Q
from latewood.records import Abrasive, FastenerPractice, SandingPractice
from latewood.spread import Number


class Sanding(msgspec.Struct, frozen=True, kw_only=True):
    """How the deck is sanded, where not by default."""

    practice: (
        Annotated[SandingPractice, F("Way of sanding, where practitioners differ", example="open-grain")] | None
    ) = None
    last_grade: Annotated[Abrasive, F("Grade to end with, on the floor and its stairs", example="p80")] | None = None
    years_bare: Annotated[int, F("Years the wood has stood bare", ge=0, le=100, example=6)] | None = None
    gap_scope: Annotated[Literal["visible-edge", "full-depth"], F("How deep the faces of gaps are worked")] | None = (
        None
    )
    gap_filled: Annotated[bool, F("Whether the profile tool fills the gap")] | None = None
    packed_gaps: (
        Annotated[float, Q("%", "Share of the gaps that is packed with dirt", ge=0, le=100, example="20 %")] | None
    ) = None
    downwind_clear: Annotated[bool, F("Whether nobody, and nobody's property, is downwind")] | None = None


class Fastening(msgspec.Struct, frozen=True, kw_only=True):
    """What holds the boards, and what is known of it."""

    fastener: Annotated[Fastener, F("What holds the boards")] | None = None
    fastener_material: Annotated[FastenerMaterial, F("What they are made of")] | None = None
    share_proud: (
        Annotated[Number, Q("%", "Heads that stand proud", ge=0, le=100, example="3-20 %", uncertain=True)] | None
    ) = None
    sample: Annotated[FastenerSample, F("Heads looked at so far, instead of a share")] | None = None
    share_stuck: (
        Annotated[float, Q("%", "Of the proud ones, those that cannot go deeper", ge=0, le=100, example="10 %")] | None
    ) = None
    risen_before: Annotated[bool, F("Whether nails here have been set once and risen again")] | None = None
    practice: Annotated[FastenerPractice, F("Practice to go by", example="set-below")] | None = None


class Surroundings(msgspec.Struct, frozen=True, kw_only=True):
    """What lies round and under the deck."""

    below: Annotated[Below, F("What lies under the floor")] | None = None
    boundary: (
        Annotated[float, Q("m", "Distance to others' property on the open sides", ge=0, le=1000, example="4 m")] | None
    ) = None
    house_openings: Annotated[int, F("Doors and windows beside the deck", ge=0, le=1000, example=2)] | None = None
    wall_coating: Annotated[Old, F("Coating on walls and trim beside it", example="none")] | None = None
    plants: Annotated[tuple[PlantBed, ...], F("Beds beside and below it", max_items=100)] = ()
