"""What moisture-readiness answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.moisture_readiness.fields import (
    CorrectedReading,
    Readiness,
    ZoneReadiness,
)
from latewood.declare import F


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """A verdict for every zone, and for the whole the worst of them."""

    verdict: Annotated[Readiness, F("Whether all of it may be coated: the verdict on the worst zone")]
    zones: Annotated[tuple[ZoneReadiness, ...], F("The zones, in the order they were given")]
    readings: Annotated[tuple[CorrectedReading, ...], F("The readings, put right")]
