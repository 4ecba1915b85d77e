"""Parts of preparation's inputs and of its answer."""

from __future__ import annotations

from datetime import date, datetime
from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import Rate, WashAgent
from latewood.uncertainty.spread import Number

#: What a step of a route does; heads are set where signs or their depth call for it.
Work = Literal["wash", "hand-wash", "strip", "neutralise", "set-heads", "sand", "scuff", "vacuum"]
Standing = Literal["recommended", "possible", "unsuitable", "forbidden", "too-late", "never-dry"]
Damage = Literal["low", "medium", "high"]


class RateOverride(msgspec.Struct, frozen=True, kw_only=True):
    """A pace of one's own for a task of the shelf, per person."""

    rate: Annotated[Rate, F("Task", example="sand-later")]
    area_pace: (
        Annotated[
            Number, Q("m2/h", "Area one person does in an hour", ge=0.05, le=1000, example="8-20 m2/h", uncertain=True)
        ]
        | None
    ) = None
    time: (
        Annotated[Number, Q("h", "Time of one occasion", ge=0.01, le=100, example="0.5-1.5 h", uncertain=True)] | None
    ) = None


class EdgeStrip(msgspec.Struct, frozen=True, kw_only=True):
    """The strip of a floor that is sanded by its length, with a smaller machine."""

    area: Annotated[float, Q("m2", "Area of the strip", ge=0, le=1e5, example="25 ft2")]
    length: Annotated[float, Q("m", "Length of edge work", ge=0, le=1e6, example="60 ft")]


class RouteStepTime(msgspec.Struct, frozen=True, kw_only=True):
    """One step of a route: how long it takes, and why it stands here."""

    id: Annotated[str, F("Name of the step")]
    does: Annotated[Work, F("What is done")]
    agent: Annotated[WashAgent, F("Wash agent")] | None = None
    work_time: Annotated[Number, Q("h", "Person-hours of work on the floor of this zone")]
    sequence: Annotated[str, F("Grades of the field, coarse to fine, where it is sanded")] | None = None
    solution_volume: Annotated[Number, Q("L", "Wash solution ready to use")] | None = None
    product_mass: Annotated[Number, Q("kg", "Wash agent to weigh out")] | None = None
    rinse_volume: Annotated[Number, Q("L", "Water to rinse with")] | None = None
    why: Annotated[Clause, F("Why, and why here")]


class RouteResult(msgspec.Struct, frozen=True, kw_only=True):
    """One route, beside the others."""

    id: Annotated[str, F("Name of the route")]
    standing: Annotated[Standing, F("Whether it is recommended, possible, or why not")]
    elapsed: (
        Annotated[Number, Q("d", "From the first morning until the wood may be coated; left out where it never may")]
        | None
    ) = None
    ready_morning: (
        Annotated[int, F("Morning on which coating can begin, the first being 1, at median times")] | None
    ) = None
    ready_on: Annotated[date, F("Date on which coating can begin, at median times")] | None = None
    work_time: Annotated[Number, Q("h", "Person-hours of work on the floor of this zone, setting up counted in")]
    washed_after: (
        Annotated[float, Q("h", "From the first morning until its last wash is done, at median times")] | None
    ) = None
    washed_at: (
        Annotated[datetime, F("When its last wash is done, at median times; where the weather tells the day")] | None
    ) = None
    drying_time: Annotated[Number, Q("h", "Wait from the last wetting until the wood is dry enough to coat")] | None = (
        None
    )
    removal: Annotated[Number, Q("mm", "Depth that is taken off")]
    damage: Annotated[Damage, F("Risk of damage to the wood")]
    damage_reasons: Annotated[tuple[Clause, ...], F("What may be damaged, and by what")]
    shadow_patches: Annotated[Literal["cleared", "remain"], F("What becomes of patches under mats and pots")]
    leaves: Annotated[tuple[str, ...], F("What is still there when it is done")]
    sanding_time: Annotated[Number, Q("h", "Work of sanding field and perimeter")] | None = None
    vacuum_time: Annotated[Number, Q("h", "Work of vacuuming after each grade")] | None = None
    dust_mass: Annotated[Number, Q("kg", "Dust of wood made, before any is caught")] | None = None
    typical_count: Annotated[int, F("Discs, sheets and belts by the median")]
    disc_count: Annotated[int, F("Discs, sheets and belts to have for this floor alone, enough in nine cases of ten")]
    solution_volume: Annotated[Number, Q("L", "Wash solutions ready to use")]
    product_mass: Annotated[Number, Q("kg", "Wash agents to weigh out")]
    rinse_volume: Annotated[Number, Q("L", "Water to rinse with")]
    hire_blocks: Annotated[int, F("Blocks of hire the sanders are needed for")] | None = None
    reasons: Annotated[tuple[Clause, ...], F("Why it is recommended, or what speaks against it")]
    steps: Annotated[tuple[RouteStepTime, ...], F("The steps in the order of work")]


Prefer = Literal["soonest", "least-work", "least-wood"]
Open = Literal["extent", "cupping", "lead", "preservative", "frame-preservative", "old-coating", "beading"]
