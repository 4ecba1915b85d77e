"""What wash answers."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import WashAgent
from latewood.records.moisture import WettingKind
from latewood.records.wash import Chemistry, Role
from latewood.rules.hazards import Suspicion
from latewood.rules.waste import Left
from latewood.uncertainty.spread import Number


class WashStageResult(msgspec.Struct, frozen=True, kw_only=True):
    """One agent of the answer: what to mix and how long it acts."""

    id: Annotated[str, F("Number of the stage, from 1")]
    agent: Annotated[WashAgent, F("Wash agent")]
    role: Annotated[Role, F("What it is for")]
    chemistry: Annotated[Chemistry, F("What it is")]
    strength: Annotated[Number, Q("g/L", "Weight of active substance in a litre ready to use")]
    stock_strength: (
        Annotated[Number, Q("g/L", "Weight of active substance in a litre of the liquid as sold")] | None
    ) = None
    solution_volume: Annotated[Number, Q("L", "Volume of solution ready to use")]
    product_mass: Annotated[Number, Q("kg", "Weight of powder to weigh out")] | None = None
    stock_volume: Annotated[Number, Q("L", "Volume of the liquid as sold")] | None = None
    water_volume: Annotated[Number, Q("L", "Water to mix it with")]
    dwell: Annotated[Number, Q("min", "Time it acts, kept wet")]
    rinse_volume: Annotated[Number, Q("L", "Water to rinse it off")]
    why: Annotated[Clause, F("Why this agent, and why here")]


class Wetting(msgspec.Struct, frozen=True, kw_only=True):
    """What the wash does to the moisture of the wood, handed on to reckon when it is dry again."""

    cause: Annotated[WettingKind, F("What wetted the wood")]
    wetted_depth: Annotated[float, Q("mm", "Depth the water goes in from the surface")]
    duration: Annotated[Number, Q("min", "Time the surface is kept wet by the agents")]


class Protection(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do for what stands near, or for the run-off."""

    id: Annotated[str, F("What it protects")]
    message: Annotated[Clause, F("What to do")]


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
