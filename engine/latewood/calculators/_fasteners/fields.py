"""Zones and samples of the fasteners calculator, and the rows of its answer."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import Species
from latewood.rules.faces import ID
from latewood.spread import Number

Fastener = Literal["nail", "screw", "hidden-clip", "unknown"]
FastenerMaterial = Literal["stainless", "galvanised", "coated", "plain", "unknown"]


#: Fields that a job asks for in the same words and bounds as the calculator it hands them to.
ShareProud = Annotated[Number, Q("%", "Heads that stand proud", ge=0, le=100, example="3-20 %", uncertain=True)]
ShareStuck = Annotated[float, Q("%", "Of the proud ones, those that cannot go deeper", ge=0, le=100, example="10 %")]
RisenBefore = Annotated[bool, F("Whether nails here have been set once and risen again")]


class FastenerZone(msgspec.Struct, frozen=True, kw_only=True):
    """The fasteners of one zone."""

    id: Annotated[str, F("Name of the zone", pattern=ID, example="main")]
    fasteners: Annotated[int, F("Fasteners in it", ge=0, le=1_000_000, example=676)]
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None


class FastenerSample(msgspec.Struct, frozen=True, kw_only=True):
    """Heads looked at here and there, and how many of them stood proud."""

    inspected: Annotated[int, F("Heads looked at, taken all over the floor", ge=1, le=1_000_000, example=60)]
    proud: Annotated[int, F("Those that stood proud or too high", ge=0, le=1_000_000, example=5)]


class FastenerRow(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer."""

    id: Annotated[str, F("Name of the zone")]
    inspected: Annotated[int, F("Heads to look at: all")]
    treated: Annotated[int, F("Heads to set, by the median")]
    most_treated: Annotated[int, F("Heads that suffice nine times in ten")]
    bored: Annotated[bool, F("Whether to bore before a new fastener goes in")]
    time: Annotated[Number, Q("h", "Work of one person: looking, setting, replacing")]
