"""What area is asked."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area.fields import AreaZone, Boards, ExtraShape, GuardShape, StairShape
from latewood.declare import F, Q
from latewood.records import LabourAllowance


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The zones of a deck, or the two sides of a single rectangular floor, and what stands on and beside them."""

    length: (
        Annotated[float, Q("m", "Size along x of a single rectangular floor", ge=0.01, le=1000, example="24 ft")] | None
    ) = None
    width: (
        Annotated[float, Q("m", "Size along y of a single rectangular floor", ge=0.01, le=1000, example="16 ft")] | None
    ) = None
    zones: Annotated[tuple[AreaZone, ...], F("The zones, instead of length and width", max_items=200)] = ()
    boards: Annotated[Boards, F("How the boards are laid, of every zone that says nothing else")] | None = None
    stairs: Annotated[tuple[StairShape, ...], F("Flights of stairs", max_items=50)] = ()
    guards: Annotated[tuple[GuardShape, ...], F("Guards, each a straight run", max_items=200)] = ()
    extras: Annotated[tuple[ExtraShape, ...], F("Fascia, skirting, lattice, benches, posts", max_items=200)] = ()
    pad_width: (
        Annotated[float, Q("mm", "Width of the edge tool's pad; 125 mm if left out", ge=20, le=500, example="125 mm")]
        | None
    ) = None
    labour_allowance: (
        Annotated[LabourAllowance, F("Rule by which parts are measured for labour", example="by-part")] | None
    ) = None
    stated_area: (
        Annotated[float, Q("m2", "Floor area as somebody stated it, to be compared", ge=0, le=1e6, example="400 ft2")]
        | None
    ) = None
