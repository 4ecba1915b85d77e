"""What labour is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.records import Rate
from latewood.rules.faces import ID
from latewood.uncertainty.spread import Number

WorksOn = Literal["floor", "stairs", "guards", "site"]


class Task(msgspec.Struct, frozen=True, kw_only=True):
    """One task, by a rate and a quantity, by its hours, or by three guesses of them."""

    id: Annotated[str, F("Name of the task", pattern=ID, max_length=40, example="lay-floor")]
    works_on: Annotated[WorksOn, F("What it is done to; site for what belongs to no part")]
    lays_coating: Annotated[bool, F("Whether it lays or wipes a coating; no if left out")] = False
    rate: Annotated[Rate, F("Rate of the task", example="lay-field")] | None = None
    area: (
        Annotated[float, Q("m2", "Area it is done to, once for each grade or coat", ge=0, le=1e5, example="384 ft2")]
        | None
    ) = None
    length: Annotated[float, Q("m", "Length it is done to", ge=0, le=1e6, example="61 ft")] | None = None
    count: Annotated[int, F("Pieces or occasions", ge=0, le=1_000_000, example=8)] | None = None
    time: (
        Annotated[Number, Q("h", "Hours of one person instead", ge=0, le=10_000, example="2-4 h", uncertain=True)]
        | None
    ) = None
    least_time: Annotated[float, Q("h", "Guess: all goes well", ge=0, le=10_000, example="2 h")] | None = None
    likely_time: Annotated[float, Q("h", "Guess: most likely", ge=0, le=10_000, example="4 h")] | None = None
    most_time: Annotated[float, Q("h", "Guess: all goes ill", ge=0, le=10_000, example="12 h")] | None = None
    actual_time: Annotated[float, Q("h", "Hours it took, once it is done", ge=0, le=10_000, example="3.5 h")] | None = (
        None
    )


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The tasks of a job, and what a day and a visit add to them."""

    tasks: Annotated[tuple[Task, ...], F("The tasks", max_items=200)] = ()
    workdays: Annotated[int, F("Days on which people set up and clear away", ge=0, le=366, example=4)] | None = None
    coating_workdays: Annotated[int, F("Days on which cloths are used", ge=0, le=366, example=2)] | None = None
    visits: Annotated[int, F("Visits for barriers, hand-over or a second look", ge=0, le=100, example=1)] = 0
    people: Annotated[int, F("People who travel; 1 if left out", ge=1, le=50, example=2)] = 1
    travel_time: (
        Annotated[Number, Q("h", "Travel there and back", ge=0, le=24, example="0.5-1 h", uncertain=True)] | None
    ) = None
    pace_correlation: (
        Annotated[float, Q("%", "How far a crew that is slow is slow at everything", ge=0, le=100, example="30 %")]
        | None
    ) = None
