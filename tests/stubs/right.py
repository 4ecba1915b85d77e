"""A program that is right: a type checker passes it whole."""

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, assert_type

import numpy as np
import pint

import latewood

if TYPE_CHECKING:
    from latewood.calls import CoverageResult

lw = latewood.load()
ureg: pint.UnitRegistry[Any] = pint.UnitRegistry()

answer = lw.coverage(area="400 ft2", species="ipe", coating="clear-penetrating-oil")
assert_type(answer["result"]["volume"]["unit"], str)
assert_type(answer["result"]["containers"][0]["count"], int)
assert_type(answer["findings"][0].message, str)
result: "CoverageResult" = answer["result"]
litres: pint.Quantity[Any] = answer.quantity("volume")
spread = answer.range("volume", ureg).to("gallon")

lw.coverage(area=ureg.Quantity(400, "ft**2"), coating="solid-colour-stain", coats=np.int64(2), units="us", lang="es")
lw.coverage(area=400 * ureg.ft**2, coating="solid-colour-stain", product={"spreading_rate": "6-10 m2/L"})
lw.coverage(
    faces=[{"zone": "north", "part": "field", "area": {"value": 12, "unit": "m2"}}],
    coating="clear-penetrating-oil",
    loss={"low": 5, "high": 10, "unit": "%"},
    working=True,
)
hours = 48
lw.cure_windows(
    coating="clear-penetrating-oil",
    laying_time=ureg.Quantity(3, "hour"),
    latitude="41.2 deg",
    longitude="-73.9 deg",
    timezone="America/New_York",
    weather={
        "start": datetime(2026, 5, 4, 6, tzinfo=UTC),
        "step": "1 h",
        "stamp": "start",
        "columns": {
            "air_temperature": ureg.Quantity(np.linspace(12, 20, hours), "degC"),
            "relative_humidity": {"unit": "%", "values": np.full(hours, 60)},
            "rain": {"unit": "mm", "values": [0.0] * hours},
            "wind_speed": {"unit": "m/s", "values": [2.0] * hours},
        },
    },
)
# A calculator of a plugin has no types of its own, and is asked by its id.
lw.calculate("coverage", area="400 ft2", coating="clear-penetrating-oil")["result"]["volume"]
plan = lw.plan(
    {"schema": 1, "zones": [{"id": "main", "area": "400 ft2", "coating": "clear-penetrating-oil"}]}, units="us"
)
plan["totals"]
