"""Choices a job makes where practitioners or sources differ; what is left out is chosen, and said."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.preparation.fields import Prefer
from latewood.declare import F, Q
from latewood.records import Application, ConditionRule, PressureRule, Route
from latewood.records.wash import Near
from latewood.rules.lead import Extraction


class Choices(msgspec.Struct, frozen=True, kw_only=True):
    """Choices where practitioners or sources differ."""

    condition_rule: Annotated[ConditionRule, F("Thresholds of repair", example="usual")] | None = None
    route: (
        Annotated[Route, F("Way of getting the old surface off; the recommended one if left out", example="sand")]
        | None
    ) = None
    prefer: Annotated[Prefer, F("What decides between routes that may be taken")] | None = None
    extraction: Annotated[Extraction, F("Extraction at the sanders")] | None = None
    pressure: (
        Annotated[float, Q("bar", "Pressure of washing; a hose if left out", ge=0, le=350, example="500 psi")] | None
    ) = None
    pressure_rule: Annotated[PressureRule, F("Rule for the pressure", example="gentle")] | None = None
    near: Annotated[tuple[Near, ...], F("What stands near that a wash or drift may harm", max_items=7)] = ()
    application: (
        Annotated[Application, F("Way of putting the finish on; brush if left out", example="brush")] | None
    ) = None

    @property
    def made(self) -> bool:
        """Whether any was made about the old surface: how the finish is put on asks for no look at it."""
        return self != Choices(application=self.application)
