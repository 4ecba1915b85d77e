"""Who coats and wipes. A job without a crew is not asked how it would go about it."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators._wipe_cadence.fields import CadenceProduct
from latewood.declare import F, Q
from latewood.spread import Number


class Crew(msgspec.Struct, frozen=True, kw_only=True):
    """The people who coat, their paces where they are known, and the boards when they do."""

    appliers: Annotated[int, F("People who lay", ge=1, le=50, example=1)]
    wipers: (
        Annotated[int, F("People who only wipe; without any those who lay turn and wipe", ge=0, le=50, example=1)]
        | None
    ) = None
    cutters: (
        Annotated[int, F("People who only cut in; without any those who lay cut in", ge=0, le=50, example=1)] | None
    ) = None
    laying_pace: (
        Annotated[
            Number, Q("m2/h", "Area one person lays in an hour", ge=0.5, le=500, example="14-40 m2/h", uncertain=True)
        ]
        | None
    ) = None
    wiping_pace: (
        Annotated[
            Number, Q("m2/h", "Area one person wipes in an hour", ge=0.5, le=500, example="20-60 m2/h", uncertain=True)
        ]
        | None
    ) = None
    edge_pace: (
        Annotated[
            Number,
            Q("m/h", "Edge one person cuts in in an hour", ge=0.5, le=1000, example="20-60 m/h", uncertain=True),
        ]
        | None
    ) = None
    arm_reach: (
        Annotated[float, Q("m", "Width of wet boards somebody reaches across", ge=0.1, le=5, example="0.9 m")] | None
    ) = None
    edges_ahead: (
        Annotated[int, F("Bands by which cutting in runs ahead, never more than 1", ge=0, le=400, example=0)] | None
    ) = None
    surface_temperature: (
        Annotated[
            float,
            Q(
                "degC",
                "Of the boards when they are coated; the warmest of the best window, if left out",
                ge=-20,
                le=80,
                example="25 degC",
            ),
        ]
        | None
    ) = None
    wiping: Annotated[CadenceProduct, F("What the product's data sheet says of wiping")] | None = None
