"""What masking answers."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import SiteProtection
from latewood.rules.hazards import Suspicion
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class MaskRow(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of work, and what it asks for."""

    id: Annotated[str, F("Kind of work asked about")]
    goes_by: Annotated[SiteProtection, F("Record it goes by; another where lead is not ruled out")]
    verdict: Annotated[Literal["go", "wait", "stop"], F("Go; wait for less wind; stop where it must not be done here")]
    reach: Annotated[float, Q("m", "Distance to which the ground is covered")]
    sheet_area: Annotated[Number, Q("m2", "Sheet for the ground round the work and for what lies under it")]
    cover_area: Annotated[Number, Q("m2", "Film for walls and whatever else adjoins")]
    tape_length: Annotated[float, Q("m", "Tape along what adjoins, and round posts")]
    plant_area: Annotated[float, Q("m2", "Plants to water before, to cover, and to uncover the same day")]
    screen_length: Annotated[float, Q("m", "Upright screen where others' property is within reach")]
    openings_shut: Annotated[int, F("Doors and windows to keep shut")]
    wind_limit: Annotated[float, Q("m/s", "Wind at which to stop")]
    time: Annotated[Number, Q("h", "Work of one person to put it up and take it down")]


class Todo(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do."""

    id: Annotated[str, F("Kind of work it belongs to, and its place in the order")]
    message: Annotated[Clause, F("What to do")]


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
