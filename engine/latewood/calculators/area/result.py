"""What area answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.rules.faces import Part, Side


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
    crossings: (
        Annotated[
            int,
            F("Places where a board crosses a joist, twice where two are butted on it; on a seam for one zone only"),
        ]
        | None
    ) = None
    fasteners: Annotated[int, F("Fasteners at those places")] | None = None
    obstacle_edge: Annotated[float, Q("m", "Edge work: along walls, under rails, round posts and obstacles")] | None = (
        None
    )


class PartArea(msgspec.Struct, frozen=True, kw_only=True):
    """All faces of one part."""

    id: Annotated[Part, F("Part of the deck")]
    area: Annotated[float, Q("m2", "Area of material to be treated")]
    area_for_labour: Annotated[float, Q("m2", "Area that counts for labour")]


class StairArea(msgspec.Struct, frozen=True, kw_only=True):
    """One flight of stairs of the answer."""

    id: Annotated[str, F("Name of the stairs")]
    zone: Annotated[str, F("Zone it belongs to")]
    risers: Annotated[int, F("Number of risers")]
    riser_height: Annotated[float, Q("mm", "Height of each riser")]
    treads: Annotated[int, F("Number of treads; the floor is the last step")]
    tread_area: Annotated[float, Q("m2", "Upper faces of the treads")]
    nosing_area: Annotated[float, Q("m2", "Front edges of the treads")]
    riser_area: Annotated[float, Q("m2", "Riser faces; none where risers are open")]
    underside_area: Annotated[float, Q("m2", "Undersides of the treads, where they are coated")]
    stringer_area: Annotated[float, Q("m2", "Stringers, where they are coated")]
    area: Annotated[float, Q("m2", "All of them together")]
    slope_length: Annotated[float, Q("m", "Length along the slope")]


class GuardArea(msgspec.Struct, frozen=True, kw_only=True):
    """One guard of the answer."""

    id: Annotated[str, F("Name of the guard")]
    zone: Annotated[str, F("Zone it belongs to")]
    posts: Annotated[int, F("Number of posts")]
    balusters: Annotated[int, F("Number of balusters")]
    baluster_gap: Annotated[float, Q("mm", "Clear gap between balusters")] | None = None
    post_area: Annotated[float, Q("m2", "Posts, four sides")]
    baluster_area: Annotated[float, Q("m2", "Balusters, four sides")]
    rail_area: Annotated[float, Q("m2", "Rails, four sides")]
    cap_area: Annotated[float, Q("m2", "Cap, four sides")]
    area: Annotated[float, Q("m2", "All of them together")]
    one_side_area: Annotated[float, Q("m2", "One side seen as if solid: length times height")]
    area_ratio: Annotated[float, Q("%", "Material over one side seen as if solid")]


class ExtraArea(msgspec.Struct, frozen=True, kw_only=True):
    """One extra of the answer."""

    id: Annotated[str, F("Name of the extra")]
    zone: Annotated[str, F("Zone it belongs to")]
    part: Annotated[Part, F("What it is")]
    area: Annotated[float, Q("m2", "Area of material")]
    factor: Annotated[float, Q("%", "Material over the overall area of one side, of open work")] | None = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Faces, disjoint so that they add up, and the counts that go with them."""

    area: Annotated[float, Q("m2", "Floor area of all zones together")]
    face_total: Annotated[float, Q("m2", "Area of all faces: what is to be treated")]
    area_for_labour: Annotated[float, Q("m2", "Area of all faces as it counts for labour")]
    obstacle_edge: Annotated[float, Q("m", "Edge work: along walls, under rails, round posts and obstacles")] | None = (
        None
    )
    boards: Annotated[int, F("Boards, each counted once though it runs through several zones")] | None = None
    board_length: Annotated[float, Q("m", "Length of all boards")] | None = None
    gap_length: Annotated[float, Q("m", "Length of all gaps between boards")] | None = None
    joists: Annotated[int, F("Joists under the boards")] | None = None
    joints: Annotated[int, F("Butt joints, where boards are shorter than their run")] | None = None
    crossings: Annotated[int, F("Places where a board crosses a joist, twice where two are butted on it")] | None = None
    fasteners: Annotated[int, F("Fasteners at those places")] | None = None
    faces: Annotated[tuple[FaceArea, ...], F("The faces to be treated")]
    parts: Annotated[tuple[PartArea, ...], F("The parts, each with all its faces")]
    zones: Annotated[tuple[ZoneArea, ...], F("The zones")]
    stairs: Annotated[tuple[StairArea, ...], F("The stairs")] | None = None
    guards: Annotated[tuple[GuardArea, ...], F("The guards")] | None = None
    extras: Annotated[tuple[ExtraArea, ...], F("Whatever else is coated")] | None = None
