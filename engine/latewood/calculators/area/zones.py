"""What a caller says of a zone, and what an answer says of it."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area.boards import Boards, EdgeWork
from latewood.declare import F, Q
from latewood.quantities.outline import Outline
from latewood.records import Species
from latewood.rules.faces import ID, Part, Side

Drawn = Annotated[Outline, F("Corner points in order, the unit at the end", example="0 0, 24 0, 24 16, 0 16 ft")]


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
    area: (
        Annotated[
            float,
            Q("m2", "Floor area, where neither outline nor sides are known", ge=0.0001, le=1e6, example="400 ft2"),
        ]
        | None
    ) = None
    level: (
        Annotated[
            float,
            Q(
                "m",
                "Height of the floor above the ground; zones of different levels may lie over one another",
                ge=-10,
                le=200,
                example="30 in",
            ),
        ]
        | None
    ) = None
    species: Annotated[Species, F("Wood species, which decides how a nominal size is read", example="ipe")] | None = (
        None
    )
    boards: Annotated[Boards, F("How the boards are laid; as in the zone it is part of, if left out")] | None = None
    edges: Annotated[EdgeWork, F("Where the floor meets walls, rails, posts and whatever is fixed on it")] | None = None


class FaceArea(msgspec.Struct, frozen=True, kw_only=True):
    """One face of the deck, as coverage and later steps take it."""

    id: Annotated[str, F("Zone and part, the item where there may be several, and the side where it stands apart")]
    zone: Annotated[str, F("Zone the face belongs to")]
    part: Annotated[Part, F("Part of the deck")]
    item: Annotated[str, F("Which stairs, guard or extra")] | None = None
    side: Annotated[Side, F("Which side, where it is treated apart from the rest of its part")] | None = None
    area: Annotated[float, Q("m2", "Area of material to be treated")]
    area_for_labour: Annotated[float, Q("m2", "Area that counts for labour, by the labour allowance")]
    length: Annotated[float, Q("m", "Length, where work goes by length")] | None = None
    count: Annotated[int, F("Number of members, where work goes by number")] | None = None


class ZoneArea(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer. What needs boards or a shape that was not given is left out."""

    id: Annotated[str, F("Name of the zone")]
    area: Annotated[
        float, Q("m2", "Floor area of the zone, without its holes and without the zones that are part of it")
    ]
    outline_length: (
        Annotated[float, Q("m", "Length of the zone's own outline; not the edge work, which follows walls and posts")]
        | None
    ) = None
    face_area: Annotated[float, Q("m2", "Upper faces of the boards: the field and the perimeter strip")] | None = None
    gap_face_area: Annotated[float, Q("m2", "Both faces of every gap")] | None = None
    end_grain_area: Annotated[float, Q("m2", "Cut ends of the boards")] | None = None
    gap_length: Annotated[float, Q("m", "Length of the gaps between boards")] | None = None
    boards: Annotated[int, F("Boards that reach into the zone, the last one ripped to fit")] | None = None
    pieces: Annotated[int, F("Pieces they are cut into by holes and corners")] | None = None
    board_length: Annotated[float, Q("m", "Length of all those pieces, to their longest point")] | None = None
    longest_board: Annotated[float, Q("m", "Longest piece")] | None = None
    last_board_width: Annotated[float, Q("mm", "Width of the last board after ripping")] | None = None
    joists: Annotated[int, F("Joists under the boards")] | None = None
    joints: Annotated[int, F("Butt joints, where boards are shorter than their run")] | None = None
    crossings: Annotated[int, F("Places where a board crosses a joist, twice where two are butted on it")] | None = None
    fasteners: Annotated[int, F("Fasteners at those places")] | None = None
    obstacle_edge: Annotated[float, Q("m", "Edge work: along walls, under rails, round posts and obstacles")] | None = (
        None
    )
