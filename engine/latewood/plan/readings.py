"""What a job says of moisture: the climate, when coating starts, and rules where sources differ."""

from __future__ import annotations

from typing import Annotated, Final, Literal

import msgspec

from latewood.calculators.moisture_readiness.inputs import (
    DropRule,
    LimitRule,
    MeanHumidity,
    MeanTemperature,
    MeanWind,
    Now,
    SheetLimit,
    Start,
    WoodWait,
)
from latewood.declare import F
from latewood.rules.weathering import WoodAge

#: A mean climate, for a job without weather.
CLIMATE: Final = ("temperature", "relative_humidity", "wind_speed")


class Moisture(msgspec.Struct, frozen=True, kw_only=True):
    """Climate, start and rules for whether the wood is dry enough."""

    now: Now | None = None
    start: Start | None = None
    temperature: MeanTemperature | None = None
    relative_humidity: MeanHumidity | None = None
    wind_speed: MeanWind | None = None
    moisture_limit: SheetLimit | None = None
    limit_rule: LimitRule | None = None
    drop_test_rule: DropRule | None = None
    new_wood_wait: WoodWait | None = None
    new_wood_age: WoodAge | None = None
    temperature_rule: (
        Annotated[Literal["handbook", "pfaff-garrahan"], F("Correction of readings for the wood's temperature")] | None
    ) = None
    species_rule: (
        Annotated[Literal["correction", "resistance", "none"], F("Correction of readings for the species")] | None
    ) = None


#: What is handed to the calculator as it stands here, the climate apart.
RULES: Final = tuple(name for name in Moisture.__struct_fields__ if name not in CLIMATE)
