"""What masking answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.masking.fields import MaskRow, Todo
from latewood.declare import F, Q
from latewood.rules.hazards import Suspicion
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What each kind of work asks for, and what does for all of them."""

    works: Annotated[tuple[MaskRow, ...], F("Kinds of work, in their order")]
    sheet_area: Annotated[Number, Q("m2", "Sheet that does for every kind of work, laid once for each")]
    cover_area: Annotated[Number, Q("m2", "Film that does for the most demanding")]
    tape_length: Annotated[float, Q("m", "Tape in all: it is laid anew for each kind of work")]
    rolls: Annotated[int, F("Rolls of tape; left out where their length is not given")] | None = None
    lead_paint: Annotated[Suspicion, F("Whether the coating of deck, walls or trim may hold lead")]
    time: Annotated[Number, Q("h", "Work of one person on all of it")]
    todo: Annotated[tuple[Todo, ...], F("What else to do, in order")]
    waste: Left = ()
