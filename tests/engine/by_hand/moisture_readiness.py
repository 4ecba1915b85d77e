"""A cedar floor two hours after a wash in steady air of 20 degC and 50 %, worked by hand."""

import math
from datetime import datetime, timedelta

import numpy as np
import pytest
from scipy import stats
from tests.engine.by_hand.case import Case
from tests.engine.by_hand.case_slab import BOARD, FASTER, LOOKED_AT, SETTLED, outer_layer, washed

# Pins of 8 mm read the mean of 16 mm: judgement.
PROBED = 0.016
# Penetrating finish on other than dense wood: 18 %, judgement.
LIMIT = 0.18
HOURS = (0, 3, 6, 12, 24, 36, 48, 72, 96, 120, 168, 240, 336)
# Two hours after a wash that went a millimetre deep, and three.
SHALLOW, DEEP = ([washed(LIMIT, depth, faster, 7200.0) for faster in FASTER] for depth in (0.001, 0.003))


def waits(cases: list[tuple[float, float]]) -> tuple[float, ...]:
    """Return the hours still to wait, two of which are over."""
    return tuple(max(seconds / 3600 - 2, 0.0) for _, seconds in cases)


def read(depth: float, faster: float) -> tuple[np.ndarray, float]:
    """Return the course of the layer that was read at 22 %, and hours until it is at the limit."""
    moisture = outer_layer(LIMIT, 0.22, depth, faster, PROBED, np.append(LOOKED_AT, 3600.0 * np.array(HOURS)))
    count = len(LOOKED_AT)
    return moisture[count:], float(LOOKED_AT[np.argmax(moisture[:count] <= LIMIT)] / 3600)


# How deep it is as wet as read is not known: at best the layer that was read, else all of the board.
FAST, USUAL, SLOW = (read(depth, faster) for depth, faster in zip((PROBED, BOARD, BOARD), FASTER, strict=True))
READY = (FAST[1], USUAL[1], SLOW[1])
NOW = datetime.fromisoformat("2026-05-05T09:00:00-04:00")


def slices(*numbers: float) -> tuple[float, ...]:
    """Expect moisture contents in percent; slices, and a line between two looks, are right to a part in 2000."""
    return tuple(pytest.approx(100 * number, rel=5e-4) for number in sorted(numbers))


def reading(shown: str, fahrenheit: str) -> dict[str, str]:
    """Return a reading of now."""
    return {"zone": "main", "reading": shown, "pin_depth": "8 mm", "wood_temperature": fahrenheit} | {
        "taken": "2026-05-05T09:00:00-04:00"
    }


CASE = Case(
    "moisture-readiness",
    {
        "zones": [{"id": "main", "area": "12 m2", "exposure": "open", "treatment": "none"}],
        "species": "western-redcedar",
        "coating": "semi-transparent-oil-stain",
        "weathered": False,
        "thickness": "25 mm",
        "temperature": "20 degC",
        "relative_humidity": "50 %",
        "wettings": [{"cause": "washed", "at": "2026-05-05T07:00:00-04:00"}],
        "readings": [reading("20 %", "68 degF"), reading("21 %", "68 degF"), reading("22.5 %", "78 degF")],
        "now": "2026-05-05T09:00:00-04:00",
        "timezone": "America/New_York",
    },
    {
        "readings.1.reading %": 20.0,
        "readings.1.corrected %": 20.0,
        "readings.2.reading %": 21.0,
        "readings.2.corrected %": 21.0,
        # Half a point for each 10 degF above 68: Wood Handbook, ch. 13. No correction for cedar is published.
        "readings.3.reading %": 22.5,
        "readings.3.corrected %": 22.0,
        "zones.main.count": 3,
        "zones.main.mean %": 21.0,
        "zones.main.deviation %": 1.0,
        "zones.main.highest %": 22.0,
        # One-sided, 95 %, two degrees of freedom: Student's t.
        "zones.main.upper_bound %": 21.0 + float(stats.t.ppf(0.95, 2)) / math.sqrt(3),
        "zones.main.moisture_limit %": 100 * LIMIT,
        # Three on a zone of up to 20 m2, common practice; 21 % is no nearer to the limit than 2 points.
        "zones.main.readings_wanted": 3,
        "zones.main.equilibrium %": 100 * SETTLED,
        "zones.main.model_moisture %": slices(*(moisture for moisture, _ in SHALLOW)),
        # Sound wood is wetted 1 mm deep (saw-slit-study), weathered wood 3 mm (judgement).
        "zones.main.wetted_depth mm": 1.0,
        "zones.main.time_to_ready h": READY,
        "zones.main.time_to_ready_shallow h": waits(SHALLOW),
        "zones.main.time_to_ready_deep h": waits(DEEP),
        # Three to four days after a wash, common practice: the ends as stated, the median of a lognormal between them.
        "zones.main.common_wait h": (72.0, (72.0 * 96.0) ** 0.5, 96.0),
        "zones.main.dry_by": (NOW + timedelta(hours=READY[1])).isoformat(timespec="seconds"),
        "zones.main.read_again_after h": READY[0],
        "zones.main.read_again": (NOW + timedelta(hours=READY[0])).isoformat(timespec="seconds"),
        **{f"zones.main.curve.{hour}.after h": float(hour) for hour in HOURS},
        **{
            f"zones.main.curve.{hour}.outer_moisture %": slices(*(course[place] for course, _ in (FAST, USUAL, SLOW)))
            for place, hour in enumerate(HOURS)
            if hour
        },
        # However deep it is as wet as that, now it is as it was read.
        "zones.main.curve.0.outer_moisture %": 22.0,
    },
    {
        "zones.*.humidity_needed": "this air dries the wood",
        "zones.*.test_again_after": "no drop was put on it",
        "zones.*.test_again": "no drop was put on it",
    },
)
