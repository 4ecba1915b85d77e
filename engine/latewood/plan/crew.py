"""Who coats and wipes. A job without a crew is not asked how it would go about it."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.wipe_cadence.fields import (
    Appliers,
    ArmReach,
    CadenceProduct,
    Cutters,
    EdgePace,
    LayingPace,
    Wipers,
    WipingPace,
)
from latewood.declare import F, Q


class Crew(msgspec.Struct, frozen=True, kw_only=True):
    """The people who coat, their paces where they are known, and the boards when they do."""

    appliers: Appliers
    wipers: Wipers | None = None
    cutters: Cutters | None = None
    laying_pace: LayingPace | None = None
    wiping_pace: WipingPace | None = None
    edge_pace: EdgePace | None = None
    arm_reach: ArmReach | None = None
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
