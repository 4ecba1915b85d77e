"""How large is the floor of a deck? Zones, their parts and holes, as rectangles or outlines."""

from __future__ import annotations

import math
from typing import Annotated

import msgspec

from latewood import spread
from latewood.calculators._area.regions import Region, overlapping, regions
from latewood.calculators._faces import ID, WHOLE, Part
from latewood.declare import F, Known, Q, calculator
from latewood.formulas.plane import net_area, rectangle_area
from latewood.outline import Outline
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger

Side = Annotated[float, Q("m", "Size along one side of a rectangle", ge=0.01, le=1000, example="24 ft")]
Drawn = Annotated[Outline, F("Corner points in order, the unit at the end", example="0 0, 24 0, 24 16, 0 16 ft")]


class AreaZone(msgspec.Struct, frozen=True, kw_only=True):
    """One named region of the deck, as a rectangle or as an outline."""

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


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The zones of a deck, or the two sides of a single rectangular floor."""

    length: (
        Annotated[float, Q("m", "Size along x of a single rectangular floor", ge=0.01, le=1000, example="24 ft")] | None
    ) = None
    width: (
        Annotated[float, Q("m", "Size along y of a single rectangular floor", ge=0.01, le=1000, example="16 ft")] | None
    ) = None
    zones: Annotated[tuple[AreaZone, ...], F("The zones, instead of length and width", max_items=200)] = ()


class FaceArea(msgspec.Struct, frozen=True, kw_only=True):
    """One face of the deck, as coverage and later steps take it."""

    id: Annotated[str, F("Zone and part")]
    zone: Annotated[str, F("Zone the face belongs to")]
    part: Annotated[Part, F("Part of the deck")]
    area: Annotated[float, Q("m2", "Area of material to be treated")]


class ZoneArea(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer."""

    id: Annotated[str, F("Name of the zone")]
    area: Annotated[
        float, Q("m2", "Floor area of the zone, without its holes and without the zones that are part of it")
    ]
    outline_length: Annotated[
        float, Q("m", "Length of the zone's own outline; not the edge work, which follows walls and posts")
    ]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Floor areas; the faces are disjoint, so they add up."""

    area: Annotated[float, Q("m2", "Floor area of all zones together")]
    faces: Annotated[tuple[FaceArea, ...], F("The faces to be treated")]
    zones: Annotated[tuple[ZoneArea, ...], F("The zones")]


@calculator(
    "area",
    "Floor area",
    since="0.1",
    example={
        "zones": [
            {"id": "main", "outline": "0 0, 24 0, 24 16, 0 16 ft"},
            {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft"},
        ]
    },
    formulas=(rectangle_area, net_area),
)
def area(x: Inputs, ledger: Ledger, known: Known) -> Result:
    """Find the floor area of a deck, zone by zone.

    Counts the boards' upper faces only, one `field` face a zone. A zone that is part of another takes its area from
    it. An outline that crosses itself, a hole or part that reaches outside, and parts that overlap are refused.
    """
    zones = _zones(x)
    found = regions(zones, "/zones" if x.zones else "")
    areas = {region.id: _net(region, found, ledger) for region in found}
    ledger.find(
        "field-only",
        "note",
        "Only the boards' upper faces are counted. Gap faces, board ends, edge work, stairs, guards and posts "
        "come on top.",
    )
    for index, zone in enumerate(zones):
        if zone.part_of is not None and zone.outline is None:
            message = (
                f"Zone {zone.id} has a size but no place in zone {zone.part_of}; that it fits there was not checked."
            )
            ledger.find("place-not-checked", "note", message, pointer=f"/zones/{index}", zone=zone.id)
    for one, other in overlapping(zones):
        message = (
            f"Zones {one} and {other} overlap as drawn; both are counted whole. If one is part of the other, say so."
        )
        ledger.find("zones-overlap", "warning", message, pointer="/zones", zones=[one, other])
    return Result(
        area=math.fsum(areas.values()),
        faces=tuple(
            FaceArea(id=f"{region.id}-field", zone=region.id, part="field", area=areas[region.id])
            for region in found
            if areas[region.id] > 0
        ),
        zones=tuple(
            ZoneArea(id=region.id, area=areas[region.id], outline_length=region.outline_length) for region in found
        ),
    )


def _zones(x: Inputs) -> tuple[AreaZone, ...]:
    """Return the zones asked about; a single rectangle is one zone."""
    single = x.length is not None or x.width is not None
    if single == bool(x.zones):
        detail = "zones and a single rectangle are both given" if single else "no floor is given"
        fault = Fault(pointer="/zones", code="conflict", detail=detail, expected="either zones, or length and width")
        raise InputProblem([fault])
    return x.zones or (AreaZone(id=WHOLE, length=x.length, width=x.width),)


def _net(region: Region, found: tuple[Region, ...], ledger: Ledger) -> float:
    """Return what is left of a zone without its holes and its parts."""
    gross = region.gross
    if region.sides is not None:
        length, width = region.sides
        gross = spread.central(ledger.step(rectangle_area, region.id, length=length, width=width))
    parts = sum(other.gross for other in found if other.part_of == region.id)
    if not (parts or region.holes):
        return gross
    left = ledger.step(net_area, region.id, outline_area=gross, holes_area=region.holes, parts_area=parts)
    # Shared edges are computed twice, from different corners: what is left of a zone its parts fill may round below 0.
    return max(spread.central(left), 0.0)
