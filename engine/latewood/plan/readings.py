"""What a job says of moisture: the climate, when coating starts, and rules where sources differ."""

from __future__ import annotations

from typing import Annotated, Final, Literal

import msgspec

from latewood.declare import F, Q
from latewood.moment import Moment
from latewood.records import DropTestRule, MoistureLimits, NewWoodWait

#: A mean climate, for a job without weather.
CLIMATE: Final = ("temperature", "relative_humidity", "wind_speed")


class Moisture(msgspec.Struct, frozen=True, kw_only=True):
    """Climate, start and rules for whether the wood is dry enough."""

    now: Annotated[Moment, F("Now; the last time given, if left out", example="2026-05-04T09:00:00-04:00")] | None = (
        None
    )
    start: Annotated[Moment, F("Planned start of coating", example="2026-05-05T09:00:00-04:00")] | None = None
    temperature: (
        Annotated[float, Q("degC", "Mean air temperature, where there is no weather", ge=-30, le=60, example="20 degC")]
        | None
    ) = None
    relative_humidity: (
        Annotated[float, Q("%", "Mean relative humidity, where there is no weather", ge=1, le=100, example="65 %")]
        | None
    ) = None
    wind_speed: (
        Annotated[float, Q("m/s", "Mean wind speed, where there is no weather", ge=0, le=40, example="1 m/s")] | None
    ) = None
    moisture_limit: (
        Annotated[float, Q("%", "Highest moisture content by the product's sheet", ge=5, le=30, example="16 %")] | None
    ) = None
    limit_rule: (
        Annotated[MoistureLimits, F("Rule for the limit; the usual one if left out", example="usual")] | None
    ) = None
    drop_test_rule: (
        Annotated[DropTestRule, F("Rule for drops; 30 seconds if left out", example="within-30-seconds")] | None
    ) = None
    new_wood_wait: (
        Annotated[NewWoodWait, F("Rule for new treated wood; measuring if left out", example="measure")] | None
    ) = None
    new_wood_age: (
        Annotated[float, Q("d", "Time since treated wood was built in", ge=0, le=36500, example="20 d")] | None
    ) = None
    temperature_rule: (
        Annotated[Literal["handbook", "pfaff-garrahan"], F("Correction of readings for the wood's temperature")] | None
    ) = None
    species_rule: (
        Annotated[Literal["correction", "resistance", "none"], F("Correction of readings for the species")] | None
    ) = None


#: What is handed to the calculator as it stands here, the climate apart.
RULES: Final = tuple(name for name in Moisture.__struct_fields__ if name not in CLIMATE)
