"""What fasteners answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.declare import F, Q
from latewood.uncertainty.spread import Number


class FastenerRow(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer."""

    id: Annotated[str, F("Name of the zone")]
    inspected: Annotated[int, F("Heads to look at: all")]
    treated: Annotated[int, F("Heads to set, by the median")]
    most_treated: Annotated[int, F("Heads that suffice nine times in ten")]
    bored: Annotated[bool, F("Whether to bore before a new fastener goes in")]
    time: Annotated[Number, Q("h", "Work of one person: looking, setting, replacing")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """How many, how deep, how long."""

    inspected: Annotated[int, F("Heads to look at: all that can be seen")]
    share_proud: Annotated[Number, Q("%", "Share that stands proud")]
    treated: Annotated[
        int, F("Heads to set, to drive or to replace, by the median: the proud ones, or all where cover gets too thin")
    ]
    least_treated: Annotated[int, F("Heads that are exceeded nine times in ten")]
    most_treated: Annotated[int, F("Heads that suffice nine times in ten")]
    replaced: Annotated[int, F("Of those, the ones to replace: rusty, stuck, loose again, or nails that rose before")]
    set_depth: Annotated[float, Q("mm", "Depth of a head below today's surface")] | None = None
    cover_left: Annotated[Number, Q("mm", "Wood above the other heads after sanding")] | None = None
    inspection_time: Annotated[Number, Q("h", "Work of looking at every head")]
    setting_time: Annotated[Number, Q("h", "Work of setting or driving")]
    replacing_time: Annotated[Number, Q("h", "Work of replacing")]
    time: Annotated[Number, Q("h", "Work of one person in all")]
    zones: Annotated[tuple[FastenerRow, ...], F("The zones, in the order they were given")]
