"""What area answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area import extras, guards, stairs
from latewood.calculators.area.zones import FaceArea, ZoneArea
from latewood.declare import F, Q
from latewood.rules.faces import Part


class PartArea(msgspec.Struct, frozen=True, kw_only=True):
    """All faces of one part."""

    id: Annotated[Part, F("Part of the deck")]
    area: Annotated[float, Q("m2", "Area of material to be treated")]
    area_for_labour: Annotated[float, Q("m2", "Area that counts for labour")]


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
    stairs: Annotated[tuple[stairs.StairArea, ...], F("The stairs")] | None = None
    guards: Annotated[tuple[guards.GuardArea, ...], F("The guards")] | None = None
    extras: Annotated[tuple[extras.ExtraArea, ...], F("Whatever else is coated")] | None = None
