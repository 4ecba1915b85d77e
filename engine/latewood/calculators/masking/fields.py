"""What stands and lies round a deck, and the rows of the answer."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import SiteProtection
from latewood.rules.faces import ID
from latewood.uncertainty.spread import Number

Adjoins = Literal["open", "wall", "painted-wall", "glass", "metal", "stone", "composite", "neighbour"]
Below = Literal["ground", "paving", "lower-deck", "room", "water"]


class Border(msgspec.Struct, frozen=True, kw_only=True):
    """One stretch of the edge of the work, and what it meets."""

    id: Annotated[str, F("Name of the stretch", pattern=ID, max_length=40, example="house")]
    adjoins: Annotated[Adjoins, F("What it meets; open where there is nothing")]
    length: Annotated[float, Q("m", "Length of the stretch", ge=0, le=5000, example="16 ft")]
    height: (
        Annotated[float, Q("m", "Height of what adjoins, where it is low", ge=0, le=100, example="1.2 m")] | None
    ) = None
    boundary: (
        Annotated[float, Q("m", "Distance to others' property on this side", ge=0, le=1000, example="4 m")] | None
    ) = None
    house_openings: (
        Annotated[int, F("Doors and windows on this side, of whoever's house", ge=0, le=1000, example=2)] | None
    ) = None
    openings_distance: (
        Annotated[
            float, Q("m", "Distance of the nearest of them; at the work if left out", ge=0, le=1000, example="3 m")
        ]
        | None
    ) = None


class PlantBed(msgspec.Struct, frozen=True, kw_only=True):
    """Plants beside or below the work."""

    id: Annotated[str, F("Name of the bed", pattern=ID, max_length=40, example="roses")]
    area: Annotated[float, Q("m2", "Area of the bed", ge=0, le=1e5, example="7 m2")]
    distance: (
        Annotated[float, Q("m", "Distance from the work; beside it if left out", ge=0, le=1000, example="1 m")] | None
    ) = None


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
    message: Annotated[str, F("What to do")]
