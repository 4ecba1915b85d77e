"""What area is asked."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area.fields import (
    AreaZone,
    Boards,
    ExtraShape,
    GuardShape,
    LabourRule,
    PadWidth,
    StairShape,
    StatedArea,
)
from latewood.declare import F, Q


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
    pad_width: PadWidth | None = None
    labour_allowance: LabourRule | None = None
    stated_area: StatedArea | None = None
