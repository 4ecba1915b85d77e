"""What a caller says of stairs, guards and whatever else is coated beside the floor."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.lumber import Nominal
from latewood.records import Species
from latewood.rules.faces import ID

OfZone = Annotated[str, F("Zone it belongs to; may be left out where there is one zone", pattern=ID, example="main")]
OfSpecies = Annotated[Species, F("Wood species, where it differs from the zone's", example="ipe")]


class StairShape(msgspec.Struct, frozen=True, kw_only=True):
    """A straight flight of stairs."""

    id: Annotated[str, F("Name of the stairs", pattern=ID, max_length=40, example="steps")]
    zone: OfZone | None = None
    species: OfSpecies | None = None
    rise: Annotated[float, Q("mm", "Height from the ground to the floor", ge=50, le=20000, example="31 in")]
    highest_riser: Annotated[float, Q("mm", "Highest riser allowed", ge=50, le=400, example="7-3/4 in")] | None = None
    width: Annotated[float, Q("mm", "Width of the treads", ge=200, le=50000, example="36 in")] | None = None
    going: Annotated[float, Q("mm", "From one nosing to the next", ge=100, le=2000, example="10 in")] | None = None
    nosing: Annotated[float, Q("mm", "Overhang of a tread", ge=0, le=100, example="1 in")] | None = None
    tread_thickness: Annotated[float, Q("mm", "Thickness of a tread", ge=5, le=200, example="1 in")] | None = None
    riser_form: Annotated[Literal["closed", "open"], F("Whether boards close the risers")] | None = None
    undersides: Annotated[bool, F("Whether the treads are coated below; so if left out, for open risers")] | None = None
    stringers: (
        Annotated[int, F("Number of stringers that are coated; 2 if left out", ge=0, le=20, example=2)] | None
    ) = None
    stringer: Annotated[Nominal, F("Size of a stringer; 2x12 if left out", example="2x12")] | None = None
    stringer_form: (
        Annotated[Literal["cut", "housed"], F("Whether steps are cut out of the stringers, or housed in them")] | None
    ) = None


class GuardShape(msgspec.Struct, frozen=True, kw_only=True):
    """A straight guard: posts, an upper and a lower rail, balusters between them, and a cap."""

    id: Annotated[str, F("Name of the guard", pattern=ID, max_length=40, example="south")]
    zone: OfZone | None = None
    species: OfSpecies | None = None
    length: Annotated[float, Q("m", "Length between the centres of its end posts", ge=0.1, le=5000, example="24 ft")]
    height: Annotated[float, Q("mm", "Height above the floor", ge=200, le=3000, example="36 in")] | None = None
    balustered: Annotated[bool, F("Whether there are balusters; so if left out")] | None = None
    baluster: Annotated[Nominal, F("Size of a baluster; 2x2 if left out", example="2x2")] | None = None
    clear_gap: Annotated[float, Q("mm", "Widest gap between balusters", ge=10, le=1000, example="4 in")] | None = None
    rails: Annotated[int, F("Number of rails; 2 if left out", ge=0, le=20, example=2)] | None = None
    rail: Annotated[Nominal, F("Size of a rail, on edge; 2x4 if left out", example="2x4")] | None = None
    rail_clearance: (
        Annotated[float, Q("mm", "Height of the bottom rail above the floor", ge=0, le=2000, example="3 in")] | None
    ) = None
    capped: Annotated[bool, F("Whether there is a cap; so if left out")] | None = None
    cap: Annotated[Nominal, F("Size of the cap, laid flat; 5/4x6 if left out", example="5/4x6")] | None = None
    post: Annotated[Nominal, F("Size of a post; 4x4 if left out", example="4x4")] | None = None
    posts: (
        Annotated[int, F("Number of its own posts; by their spacing if left out", ge=0, le=5000, example=5)] | None
    ) = None
    shared_posts: (
        Annotated[int, F("End posts that are counted with another guard, or that a wall stands for", ge=0, le=2)] | None
    ) = None
    post_spacing: (
        Annotated[float, Q("m", "Widest spacing of posts, centre to centre", ge=0.3, le=10, example="6 ft")] | None
    ) = None


class ExtraShape(msgspec.Struct, frozen=True, kw_only=True):
    """Something else that is coated: fascia, skirting, lattice, bench or post."""

    id: Annotated[str, F("Name of the extra", pattern=ID, max_length=40, example="front-fascia")]
    zone: OfZone | None = None
    species: OfSpecies | None = None
    part: Annotated[Literal["fascia", "skirting", "lattice", "bench", "post"], F("What it is")]
    area: (
        Annotated[float, Q("m2", "Area of material, where it is known already", ge=0, le=1e5, example="40 ft2")] | None
    ) = None
    length: Annotated[float, Q("m", "Length", ge=0.01, le=5000, example="24 ft")] | None = None
    height: Annotated[float, Q("mm", "Height; of a fascia, its width", ge=5, le=20000, example="30 in")] | None = None
    width: Annotated[float, Q("mm", "Depth of a bench seat", ge=50, le=5000, example="16 in")] | None = None
    thickness: Annotated[float, Q("mm", "Thickness of board or slat", ge=1, le=300, example="5 mm")] | None = None
    slat_width: Annotated[float, Q("mm", "Width of a slat or board", ge=5, le=400, example="38 mm")] | None = None
    opening: Annotated[float, Q("mm", "Clear opening between slats", ge=0, le=1000, example="70 mm")] | None = None
    size: Annotated[Nominal, F("Size of a post or a fascia board", example="2x10")] | None = None
    sides: (
        Annotated[int, F("Sides that are coated of closed skirting; 1 if left out", ge=1, le=2, example=1)] | None
    ) = None
    count: Annotated[int, F("How many alike", ge=1, le=10000, example=1)] = 1
