"""What wipe-cadence is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.wipe_cadence.fields import (
    Appliers,
    ArmReach,
    CadenceProduct,
    CadenceRun,
    Cutters,
    EdgePace,
    LayingPace,
    Wipers,
    WipingPace,
)
from latewood.declare import F, Q
from latewood.records import Coating
from latewood.rules.old_and_new_finish import StillOn
from latewood.rules.wiping import LaidOn
from latewood.uncertainty.spread import Number


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The coating, the boards, the crew, and how warm the boards are."""

    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    species: LaidOn | None = None
    old_coating: StillOn | None = None
    product: Annotated[CadenceProduct, F("What the product's data sheet says; it overrides the family")] | None = None
    surface_temperature: (
        Annotated[float, Q("degC", "Temperature of the boards' face", ge=-20, le=80, example="25 degC")] | None
    ) = None
    relative_humidity: (
        Annotated[float, Q("%", "Of the air; waterborne coats only", ge=0, le=100, example="50 %")] | None
    ) = None
    course_length: (
        Annotated[float, Q("m", "Length of a course of a single run", ge=0.1, le=100, example="16 ft")] | None
    ) = None
    pitch: (
        Annotated[float, Q("mm", "From one board to the next: board and gap", ge=50, le=600, example="143 mm")] | None
    ) = None
    courses: Annotated[int, F("Courses of a single run", ge=1, le=400, example=27)] | None = None
    edge_length: (
        Annotated[float, Q("m", "Edge work of a single run, spread over its courses", ge=0, le=1000, example="24 ft")]
        | None
    ) = None
    runs: Annotated[
        tuple[CadenceRun, ...],
        F("Runs in the order of work, instead of a single one; the way ends off the deck", max_items=50),
    ] = ()
    appliers: Appliers
    wipers: Wipers | None = None
    cutters: Cutters | None = None
    laying_pace: LayingPace | None = None
    wiping_pace: WipingPace | None = None
    edge_pace: EdgePace | None = None
    gap_pace: (
        Annotated[
            Number, Q("m/h", "Gap one person brushes in an hour", ge=0.5, le=1000, example="25-70 m/h", uncertain=True)
        ]
        | None
    ) = None
    gap_faces: (
        Annotated[
            Literal["coated", "bare"],
            F("Whether a brush goes into each gap with its course; bare if left out, or coated some other time"),
        ]
        | None
    ) = None
    turn_time: (
        Annotated[float, Q("min", "From the end of one task to the start of the next", ge=0, le=60, example="1 min")]
        | None
    ) = None
    arm_reach: ArmReach | None = None
    edges_ahead: (
        Annotated[
            int,
            F(
                "Bands by which cutting in runs ahead of the field; 0 if left out, never more than 1",
                ge=0,
                le=500,
                example=1,
            ),
        ]
        | None
    ) = None
    courses_per_band: (
        Annotated[int, F("Courses of a band, to be tried; as many as may be if left out", ge=1, le=400, example=6)]
        | None
    ) = None
    applied: (
        Annotated[
            Number, Q("L", "Coating laid on in all, to count cloths by", ge=0, le=1e4, example="4-7 L", uncertain=True)
        ]
        | None
    ) = None
