"""Parts of what area is asked: zones, boards, edge work, stairs, guards and whatever else is coated."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.quantities.lumber import Nominal
from latewood.quantities.outline import Outline
from latewood.records import LabourAllowance, Species
from latewood.rules.faces import ID

OfZone = Annotated[str, F("Zone it belongs to; may be left out where there is one zone", pattern=ID, example="main")]
OfSpecies = Annotated[Species, F("Wood species, where it differs from the zone's", example="ipe")]
Drawn = Annotated[Outline, F("Corner points in order, the unit at the end", example="0 0, 24 0, 24 16, 0 16 ft")]
PadWidth = Annotated[
    float, Q("mm", "Width of the edge tool's pad; 125 mm if left out", ge=20, le=500, example="125 mm")
]
LabourRule = Annotated[LabourAllowance, F("Rule by which parts are measured for labour", example="by-part")]
StatedArea = Annotated[
    float, Q("m2", "Floor area as somebody stated it, to be compared", ge=0, le=1e6, example="400 ft2")
]


class Boards(msgspec.Struct, frozen=True, kw_only=True):
    """How the boards are laid."""

    size: Annotated[Nominal, F("Board size, nominal or real, thickness first", example="5/4x6")] | None = None
    gap: Annotated[float, Q("mm", "Gap between boards", ge=0, le=200, example="1/8 in")] | None = None
    direction: (
        Annotated[float, Q("deg", "Long axis of the boards from +x, anticlockwise", ge=-360, le=360, example="0 deg")]
        | None
    ) = None
    profile: Annotated[Literal["smooth", "grooved"], F("Face of the boards")] | None = None
    groove_depth: Annotated[float, Q("mm", "Depth of the grooves", ge=0.1, le=20, example="2 mm")] | None = None
    groove_spacing: Annotated[float, Q("mm", "From one groove to the next", ge=1, le=200, example="10 mm")] | None = (
        None
    )
    joist_spacing: Annotated[float, Q("m", "Joist spacing, centre to centre", ge=0.1, le=2, example="16 in")] | None = (
        None
    )
    joist_direction: (
        Annotated[
            float,
            Q(
                "deg",
                "Direction of the joists from +x; square to the boards if left out",
                ge=-360,
                le=360,
                example="90 deg",
            ),
        ]
        | None
    ) = None
    stock_length: (
        Annotated[
            float,
            Q("m", "Length of the boards as bought; longer runs are butted on a joist", ge=0.5, le=30, example="16 ft"),
        ]
        | None
    ) = None
    fasteners_per_crossing: (
        Annotated[int, F("Fasteners where a board crosses a joist; hidden ones count 1", ge=1, le=4, example=2)] | None
    ) = None


class Obstacle(msgspec.Struct, frozen=True, kw_only=True):
    """Something fixed on the floor, round which an edge tool must go."""

    id: Annotated[str, F("Name of the obstacle", pattern=ID, example="planter")]
    kind: Annotated[Literal["planter", "hatch", "bench", "other"], F("What it is")] = "other"
    perimeter: (
        Annotated[float, Q("m", "Length of its sides that stand on open floor", ge=0, le=1000, example="10 ft")] | None
    ) = None
    length: (
        Annotated[float, Q("m", "Length, where it stands free on all sides", ge=0, le=1000, example="3 ft")] | None
    ) = None
    width: (
        Annotated[float, Q("m", "Width, where it stands free on all sides", ge=0, le=1000, example="2 ft")] | None
    ) = None
    count: Annotated[int, F("How many of them", ge=1, le=1000, example=1)] = 1


class EdgeWork(msgspec.Struct, frozen=True, kw_only=True):
    """Where the floor of a zone meets something. Free edges are not edge work."""

    wall_length: Annotated[float, Q("m", "Length along walls", ge=0, le=1e5, example="24 ft")] | None = None
    wall_sides: Annotated[
        tuple[Annotated[int, F("Number of a side", ge=1, le=500, example=1)], ...],
        F(
            "Sides along a wall, by number: side 1 runs from the first corner of the outline to the second; of a "
            "rectangle 1 is at y = 0, 2 at its far x, 3 opposite 1, 4 at x = 0",
            max_items=500,
        ),
    ] = ()
    rail_length: Annotated[float, Q("m", "Length under bottom rails", ge=0, le=1e5, example="32 ft")] | None = None
    rail_sides: Annotated[
        tuple[Annotated[int, F("Number of a side", ge=1, le=500, example=2)], ...],
        F("Sides under a bottom rail, numbered like those along a wall", max_items=500),
    ] = ()
    rail_clearance: (
        Annotated[float, Q("mm", "Height of the bottom rail above the floor", ge=0, le=2000, example="3 in")] | None
    ) = None
    tool_height: (
        Annotated[float, Q("mm", "Height a floor machine needs under a rail", ge=10, le=2000, example="150 mm")] | None
    ) = None
    opening_length: (
        Annotated[float, Q("m", "Stair and gate openings in those walls and rails", ge=0, le=1e5, example="4 ft")]
        | None
    ) = None
    posts: Annotated[int, F("Posts that stand on the floor", ge=0, le=10000, example=8)] | None = None
    post: Annotated[Nominal, F("Size of those posts; 4x4 if left out", example="4x4")] | None = None
    obstacles: Annotated[tuple[Obstacle, ...], F("What is fixed on the floor", max_items=200)] = ()
    hole_edges: (
        Annotated[
            Literal["obstacle", "free"],
            F("Whether something stands in the zone's holes (a planter, a tree), or the machine runs over their rim"),
        ]
        | None
    ) = None
    inside_corners: (
        Annotated[int, F("Corners where two strips of edge work meet and overlap", ge=0, le=1000, example=4)] | None
    ) = None


FloorArea = Annotated[
    float, Q("m2", "Floor area, where neither outline nor sides are known", ge=1e-4, le=1e6, example="400 ft2")
]
FloorLevel = Annotated[
    float,
    Q(
        "m",
        "Height of the floor above the ground; zones of different levels may lie over one another",
        ge=-10,
        le=200,
        example="30 in",
    ),
]


class AreaZone(msgspec.Struct, frozen=True, kw_only=True):
    """One named region of the deck, as a rectangle, as an outline, or by its floor area alone."""

    id: Annotated[str, F("Name of the zone", pattern=ID, example="north")]
    part_of: Annotated[str, F("The zone this one lies in and takes its area from", pattern=ID)] | None = None
    length: Annotated[float, Q("m", "Size along x of a rectangular zone", ge=0.01, le=1000, example="24 ft")] | None = (
        None
    )
    width: Annotated[float, Q("m", "Size along y of a rectangular zone", ge=0.01, le=1000, example="16 ft")] | None = (
        None
    )
    outline: Drawn | None = None
    holes: Annotated[tuple[Drawn, ...], F("What is cut out of the zone, each hole an outline", max_items=50)] = ()
    area: FloorArea | None = None
    level: FloorLevel | None = None
    species: Annotated[Species, F("Wood species, which decides how a nominal size is read", example="ipe")] | None = (
        None
    )
    boards: Annotated[Boards, F("How the boards are laid; as in the zone it is part of, if left out")] | None = None
    edges: Annotated[EdgeWork, F("Where the floor meets walls, rails, posts and whatever is fixed on it")] | None = None


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
