"""Zones and samples of the fasteners calculator, and the rows of its answer."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.records import Species
from latewood.rules.faces import ID
from latewood.rules.signs import Sign
from latewood.uncertainty.spread import Number


class FastenerZone(msgspec.Struct, frozen=True, kw_only=True):
    """The fasteners of one zone."""

    id: Annotated[str, F("Name of the zone", pattern=ID, example="main")]
    fasteners: Annotated[int, F("Fasteners in it", ge=0, le=1_000_000, example=676)]
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on it; rust, stain and loose heads count", max_items=30)] = ()


class FastenerRow(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer."""

    id: Annotated[str, F("Name of the zone")]
    inspected: Annotated[int, F("Heads to look at: all")]
    treated: Annotated[int, F("Heads to set, by the median")]
    most_treated: Annotated[int, F("Heads that suffice nine times in ten")]
    bored: Annotated[bool, F("Whether to bore before a new fastener goes in")]
    time: Annotated[Number, Q("h", "Work of one person: looking, setting, replacing")]
