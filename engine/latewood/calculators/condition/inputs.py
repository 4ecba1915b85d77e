"""What condition is asked."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.condition.fields import ConditionComponent
from latewood.declare import F
from latewood.records import ConditionRule
from latewood.rules.days import AsOf
from latewood.rules.hazards import YearRules


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The components of a deck as somebody found them."""

    components: Annotated[tuple[ConditionComponent, ...], F("Parts of the deck, each by itself", ge=1, max_items=500)]
    year_built: Annotated[int, F("Year the deck or house was built", ge=1600, le=2200, example=1996)] | None = None
    jurisdiction: YearRules | None = None
    as_of: AsOf | None = None
    condition_rule: Annotated[ConditionRule, F("Thresholds to go by; usual if left out", example="usual")] | None = None
