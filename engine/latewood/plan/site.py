"""Tables of a job about sanding, fasteners and what lies round the deck. A job without them says nothing of it."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.abrasive_sequence.fields import PackedGaps
from latewood.calculators.coverage.fields import Product
from latewood.calculators.masking.inputs import Below, PlantBed
from latewood.declare import F, Q
from latewood.records import Coating
from latewood.rules.hazard_fields import Old, WallLeadTested, WallLeadTestedBy, WallLeadTestedOn
from latewood.rules.sanding_work.fields import LastGrade, WayOfSanding, YearsBare


class Sanding(msgspec.Struct, frozen=True, kw_only=True):
    """How the deck is sanded, where not by default."""

    practice: WayOfSanding | None = None
    last_grade: LastGrade | None = None
    years_bare: YearsBare | None = None
    gap_scope: Annotated[Literal["visible-edge", "full-depth"], F("How deep the faces of gaps are worked")] | None = (
        None
    )
    gap_filled: Annotated[bool, F("Whether the profile tool fills the gap")] | None = None
    packed_gaps: PackedGaps | None = None
    downwind_clear: Annotated[bool, F("Whether nobody, and nobody's property, is downwind")] | None = None


class Finish(msgspec.Struct, frozen=True, kw_only=True):
    """The product that is bought of a coating family: every purchase of that family goes by its data sheet."""

    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    product: Annotated[Product, F("What the product's data sheet says; it overrides the family")]


class Surroundings(msgspec.Struct, frozen=True, kw_only=True):
    """What lies round and under the deck."""

    below: Annotated[Below, F("What lies under the floor")] | None = None
    boundary: (
        Annotated[float, Q("m", "Distance to others' property on the open sides", ge=0, le=1000, example="4 m")] | None
    ) = None
    house_openings: Annotated[int, F("Doors and windows beside the deck", ge=0, le=1000, example=2)] | None = None
    wall_coating: Annotated[Old, F("Coating on walls and trim beside it", example="none")] | None = None
    wall_lead_test: WallLeadTested | None = None
    wall_lead_test_method: WallLeadTestedBy | None = None
    wall_lead_test_date: WallLeadTestedOn | None = None
    plants: Annotated[tuple[PlantBed, ...], F("Beds beside and below it", max_items=100)] = ()
