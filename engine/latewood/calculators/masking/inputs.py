"""What masking is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.outline import Outline
from latewood.records import SiteProtection
from latewood.rules import hazard_fields
from latewood.rules.days import AsOf
from latewood.rules.faces import ID
from latewood.rules.hazard_fields import Old
from latewood.rules.hazards import YearBuilt, YearRules

Adjoins = Literal["open", "wall", "painted-wall", "glass", "metal", "stone", "composite", "neighbour"]
Below = Literal["ground", "paving", "lower-deck", "room", "water"]


class Border(msgspec.Struct, frozen=True, kw_only=True):
    """One stretch of the edge of the work, and what it meets."""

    id: Annotated[str, F("Name of the stretch", pattern=ID, max_length=40, example="house")]
    adjoins: Annotated[Adjoins, F("What it meets; open where there is nothing")]
    length: Annotated[float, Q("m", "Length of the stretch", ge=0, le=5000, example="16 ft")]
    height: (
        Annotated[float, Q("m", "Height of what adjoins, where it is low", ge=0, le=100, example="1.2 m")] | None
    ) = None
    boundary: (
        Annotated[float, Q("m", "Distance to others' property on this side", ge=0, le=1000, example="4 m")] | None
    ) = None
    outline: (
        Annotated[
            Outline,
            F(
                "Outline of the floor whose open sides it is: its corners are counted",
                example="0 0, 24 0, 24 16, 0 16 ft",
            ),
        ]
        | None
    ) = None
    wall_sides: Annotated[
        tuple[Annotated[int, F("Number of a side", ge=1, le=500, example=1)], ...],
        F("Sides of that outline that are not open; side 1 runs from its first corner to the second", max_items=500),
    ] = ()
    house_openings: (
        Annotated[int, F("Doors and windows on this side, of whoever's house", ge=0, le=1000, example=2)] | None
    ) = None
    openings_distance: (
        Annotated[
            float, Q("m", "Distance of the nearest of them; at the work if left out", ge=0, le=1000, example="3 m")
        ]
        | None
    ) = None


class PlantBed(msgspec.Struct, frozen=True, kw_only=True):
    """Plants beside or below the work."""

    id: Annotated[str, F("Name of the bed", pattern=ID, max_length=40, example="roses")]
    area: Annotated[float, Q("m2", "Area of the bed", ge=0, le=1e5, example="7 m2")]
    distance: (
        Annotated[float, Q("m", "Distance from the work; beside it if left out", ge=0, le=1000, example="1 m")] | None
    ) = None


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The edges of a deck, what lies under and beside it, and the work that is to be done."""

    works: Annotated[
        tuple[Annotated[SiteProtection, F("Kind of work", example="sanding")], ...],
        F("Kinds of work, in their order", ge=1, max_items=20),
    ]
    borders: Annotated[tuple[Border, ...], F("The edge of the work, stretch by stretch", max_items=200)] = ()
    corners: (
        Annotated[
            int, F("Outer corners between open stretches without an outline; 4 if left out", ge=0, le=200, example=4)
        ]
        | None
    ) = None
    area: Annotated[float, Q("m2", "Floor, whose gaps let things fall", ge=0, le=1e5, example="320 ft2")] | None = None
    below: Annotated[Below, F("What lies under the floor; ground if left out")] | None = None
    posts: Annotated[int, F("Posts that are not worked on and stand in it", ge=0, le=5000, example=8)] | None = None
    post_girth: (
        Annotated[float, Q("mm", "Girth of one of them; 4x4 if left out", ge=50, le=5000, example="14 in")] | None
    ) = None
    plants: Annotated[tuple[PlantBed, ...], F("Beds beside and below it", max_items=100)] = ()
    wind_speed: Annotated[float, Q("m/s", "Wind at the time of the work", ge=0, le=60, example="4 m/s")] | None = None
    old_coating: Annotated[Old, F("Coating on the deck now: a family, none or unknown", example="none")] | None = None
    lead_test: hazard_fields.LeadTested | None = None
    lead_test_method: hazard_fields.LeadTestedBy | None = None
    lead_test_date: hazard_fields.LeadTestedOn | None = None
    wall_coating: (
        Annotated[Old, F("Coating on walls and trim beside it, which edge tools touch", example="none")] | None
    ) = None
    wall_lead_test: hazard_fields.WallLeadTested | None = None
    wall_lead_test_method: hazard_fields.WallLeadTestedBy | None = None
    wall_lead_test_date: hazard_fields.WallLeadTestedOn | None = None
    year_built: YearBuilt | None = None
    jurisdiction: YearRules | None = None
    as_of: AsOf | None = None
    roll_length: Annotated[float, Q("m", "Tape on a roll", ge=1, le=500, example="50 m")] | None = None
