"""What wash answers."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.wash.fields import Protection, WashStageResult, Wetting
from latewood.declare import F, Q
from latewood.rules.hazards import Suspicion
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """What to mix and how to rinse. Empty where a hard stop forbids it: the findings say which."""

    verdict: Annotated[Literal["go", "stop"], F("Whether this wash may be done at all")]
    arsenical: Annotated[Suspicion, F("Whether the wood may hold arsenic")]
    frame_arsenical: Annotated[Suspicion, F("Whether the frame under it may hold arsenic")]
    lead_paint: Annotated[Suspicion, F("Whether the old coating may hold lead")]
    stages: Annotated[tuple[WashStageResult, ...], F("Agents in the order of use")]
    water_volume: Annotated[Number, Q("L", "Water for all mixes and rinses; left out where it stops")] | None = None
    rinse_volume: Annotated[Number, Q("L", "Water that runs off: all rinses; left out where it stops")] | None = None
    pressure_start: Annotated[float, Q("bar", "Pressure to begin with")] | None = None
    pressure_ceiling: Annotated[float, Q("bar", "Highest pressure for this wood")] | None = None
    fan_angle: Annotated[Number, Q("deg", "Angle of the fan nozzle")] | None = None
    standoff: Annotated[float, Q("mm", "Least distance from nozzle to wood")] | None = None
    protection: Annotated[tuple[Protection, ...], F("What to do for what stands near")]
    wetting: Wetting | None = None
    waste: Left = ()
