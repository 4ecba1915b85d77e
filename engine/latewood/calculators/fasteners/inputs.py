"""What fasteners is asked."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.records import FastenerPractice, Machine, Species
from latewood.rules import heads
from latewood.rules.faces import ID
from latewood.rules.signs import Sign
from latewood.uncertainty.spread import Number


class FastenerZone(msgspec.Struct, frozen=True, kw_only=True):
    """The fasteners of one zone."""

    id: Annotated[str, F("Name of the zone", pattern=ID, example="main")]
    fasteners: Annotated[int, F("Fasteners in it", ge=0, le=1_000_000, example=676)]
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it; rust, stain and loose heads count", max_items=30)] = ()


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The fasteners of a floor, what they are, and how deep the floor is going to be sanded."""

    fasteners: Annotated[int, F("Fasteners of a single floor", ge=0, le=1_000_000, example=676)] | None = None
    zones: Annotated[tuple[FastenerZone, ...], F("The zones, instead of one number", max_items=200)] = ()
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    fastener: Annotated[heads.Fastener, F("What holds the boards; unknown if left out")] | None = None
    fastener_material: Annotated[heads.FastenerMaterial, F("What they are made of; unknown if left out")] | None = None
    removal: (
        Annotated[Number, Q("mm", "Depth to be sanded off in all", ge=0, le=20, example="0.3-0.7 mm", uncertain=True)]
        | None
    ) = None
    fastener_cover: (
        Annotated[float, Q("mm", "Wood above the heads that are not proud", ge=0, le=50, example="2 mm")] | None
    ) = None
    share_proud: heads.ShareProud | None = None
    sample: Annotated[heads.FastenerSample, F("Heads looked at so far, instead of a share")] | None = None
    share_stuck: heads.ShareStuck | None = None
    share_staining: heads.ShareStaining | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen; rust, stain and loose heads count", max_items=30)] = ()
    risen_before: heads.RisenBefore | None = None
    heads_can_be_set: heads.HeadsCanBeSet | None = None
    practice: Annotated[FastenerPractice, F("Practice to go by", example="set-below")] | None = None
    machine: Annotated[Machine, F("Machine that sands over them", example="floor-drum")] | None = None
