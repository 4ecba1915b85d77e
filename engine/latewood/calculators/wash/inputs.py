"""What wash is asked."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.wash.fields import WashStage
from latewood.declare import F, Q
from latewood.records import PressureRule, Route, Species
from latewood.records.wash import Near, Soil
from latewood.rules.days import AsOf
from latewood.rules.hazard_fields import (
    Frame,
    LeadTested,
    LeadTestedBy,
    LeadTestedOn,
    MadeOf,
    OldCoating,
    Preservative,
    PreservativeProof,
)
from latewood.rules.hazards import YearBuilt, YearRules
from latewood.rules.weathering import Weathered


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """One surface to be washed, what is on it, and what stands near."""

    area: Annotated[float, Q("m2", "Area to wash", ge=0, le=1e5, example="320 ft2")]
    species: Annotated[Species, F("Wood species", example="western-redcedar")] | None = None
    material: MadeOf | None = None
    treatment: Preservative | None = None
    treatment_evidence: PreservativeProof | None = None
    frame: Frame | None = None
    old_coating: OldCoating | None = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    year_built: YearBuilt | None = None
    jurisdiction: YearRules | None = None
    soil: Annotated[tuple[Soil, ...], F("What is on the wood; grey and dirt if left out", max_items=8)] = ()
    weathered: Weathered | None = None
    as_of: AsOf | None = None
    route: (
        Annotated[Route, F("Route it belongs to; all that is on it is washed off if left out", example="sand")] | None
    ) = None
    stages: Annotated[
        tuple[WashStage, ...],
        F("Agents in the order of use; chosen by species and what is on it if left out", max_items=6),
    ] = ()
    pressure: (
        Annotated[float, Q("bar", "Pressure at the nozzle; a hose if left out", ge=0, le=350, example="500 psi")] | None
    ) = None
    pressure_rule: Annotated[PressureRule, F("Rule for the pressure", example="gentle")] | None = None
    near: Annotated[tuple[Near, ...], F("What stands near", max_items=7)] = ()
    sanded: Annotated[bool, F("Whether the final sanding is done; no if left out")] | None = None
    spot: Annotated[bool, F("Whether only spots are treated; no if left out")] | None = None
