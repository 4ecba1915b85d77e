"""One coat of oil in three steady days of 27 degC and 50 %, worked by hand."""

import math
from datetime import datetime, timedelta

from tests.engine.by_hand.case import Case

MIDNIGHT = datetime.fromisoformat("2026-05-04T00:00:00-04:00")
DAYS = 3
# Arrhenius against 23 degC. The trade's 50 kJ/mol is the slower of the two clocks above 23 degC, the faster is 66 of
# linolenic acid, J. Agric. Food Chem. 53 (2005) 9073.
SLOW, FAST = (math.exp(energy / 8.314462618 * (1 / 296.15 - 1 / 300.15)) for energy in (50e3, 66e3))
# Dew point of 27 degC and 50 %: WMO-No. 8, annex 4.B.
LOG = math.log(0.5) + 17.62 * 27 / (243.12 + 27)
DEW_POINT = 243.12 * LOG / (17.62 - LOG)

# Every hour is within the limits: 5 to 32 degC, up to 85 %, 3 K above the dew point (11.3 here), below 6.7 m/s. The
# working day is 7 to 19 o'clock, with light from 6 to 20. The coat takes 2 h, and what was laid last is wiped within 20
# min: a quarter of an hour is the finest step, so ten of them must fit, and 16:30 is the latest start.
LATEST = 19.0 - 10 / 4
# Rain does no harm after 12 h at 23 degC, 9.2 here. Whoever lays in the last quarter must be safe when the weather
# given ends: that quarter begins by 14:30 of the third day (14:45 + 9.2 h is before midnight, 15:00 + 9.2 is after),
# and ten quarters before its end is 12:15.
SAFE = 12 / SLOW
LAST_QUARTER = math.floor((24 - SAFE) * 4) / 4
LATEST_OF_ALL = LAST_QUARTER - 10 / 4
# Laid from 7 to 9 o'clock of the first day: every start is as far inside, and the first is the first.
BEGINS, ENDS = 7.0, 9.0


def at(hours: float, day: int = 1) -> str:
    """Return a time of one of the days as an answer writes it."""
    return (MIDNIGHT + timedelta(days=day - 1, hours=hours)).isoformat(timespec="seconds")


def minute(hours: float) -> str:
    """Return a time without its seconds."""
    return (MIDNIGHT + timedelta(hours=hours)).replace(second=0).isoformat(timespec="seconds")


def window(day: int, latest: float) -> dict[str, float | str]:
    """Return the lines of the window of a day: from when work begins."""
    where = f"windows.{day}"
    return {
        f"{where}.starts": at(7.0, day),
        f"{where}.latest_start": at(latest, day),
        f"{where}.best_start": at(7.0, day),
        f"{where}.ends": at(9.0, day),
        # The boards are as warm as the air, by the rule asked for.
        f"{where}.warmest_boards degC": 27.0,
    }


def stage(id: str, shorter: float, longer: float) -> dict[str, float | str]:
    """Return the lines of a stage of the hand-over, by the slow clock: told to the next full hour."""
    return {
        f"hand_over.{id}.after h": longer / SLOW,
        f"hand_over.{id}.after_least h": shorter / SLOW,
        f"hand_over.{id}.at": at(math.ceil(ENDS + longer / SLOW)),
    }


def hour(place: int) -> dict[str, float]:
    """Return the lines of an hour of the weather."""
    where = f"hours.{(MIDNIGHT + timedelta(hours=place)).isoformat(timespec='minutes')}"
    return {
        f"{where}.surface_temperature degC": 27.0,
        f"{where}.dew_point_spread K": 27.0 - DEW_POINT,
        f"{where}.cure_rate %": 100 * SLOW,
    }


def column(unit: str, *day: float) -> dict[str, object]:
    """Return a column of the weather, each day like the others."""
    return {"unit": unit, "values": [*day] * DAYS if len(day) == 24 else [*day] * 24 * DAYS}


CASE = Case(
    "cure-windows",
    {
        "coating": "clear-penetrating-oil",
        "species": "ipe",
        "timezone": "America/New_York",
        "board_temperature": "air",
        "laying_time": "2 h",
        "dry_so_far": "24 h",
        "night": "counts",
        "product": {
            "dry_before": "6 h",
            "hold": "1 h",
            "wipe": "15-20 min",
            "rain_safe": "12 h",
            "walk": "8-10 h",
            "furniture": "16-20 h",
            "covers": "20-24 h",
            "full_cure": "30-36 h",
        },
        "weather": {
            "start": "2026-05-04T00:00:00-04:00",
            "step": "1 h",
            "stamp": "start",
            "rain_chance_period": "day",
            "columns": {
                "air_temperature": column("degC", 27),
                "relative_humidity": column("%", 50),
                "wind_speed": column("m/s", 2),
                "rain_chance": column("%", 5),
                "irradiance": column("W/m2", *[0] * 6, *[500] * 14, *[0] * 4),
            },
        },
    },
    {
        "passing_time h": 24.0 * DAYS,
        "passing_daylight h": 14.0 * DAYS,
        "longest_passing h": 24.0 * DAYS,
        **window(1, LATEST),
        **window(2, LATEST),
        **window(3, LATEST_OF_ALL),
        "timeline.coat-1.starts": at(BEGINS),
        "timeline.coat-1.ends": at(ENDS),
        # Wiped 15 to 20 min after it was laid at 23 degC, by the fast clock.
        "timeline.coat-1-wipe-first.starts": minute(BEGINS + 15 / 60 / FAST),
        "timeline.coat-1-wipe-first.ends": minute(BEGINS + 20 / 60 / FAST),
        "timeline.coat-1-wipe-last.starts": minute(ENDS + 15 / 60 / FAST),
        "timeline.coat-1-wipe-last.ends": minute(ENDS + 20 / 60 / FAST),
        **stage("rain-safe", 12, 12),
        **stage("walk", 8, 10),
        **stage("furniture", 16, 20),
        **stage("covers", 20, 24),
        **stage("full-cure", 30, 36),
        # 5 % a day: even over the day, one short shower at any time of it, and all of it in just these hours.
        "rain_risk.starts": at(BEGINS),
        "rain_risk.ends": at(ENDS + SAFE),
        "rain_risk.chance %": 100 * (1 - 0.95 ** ((ENDS + SAFE - BEGINS) / 24)),
        "rain_risk.chance_least %": 5 * (ENDS + SAFE - BEGINS) / 24,
        "rain_risk.chance_most %": 5.0,
        **{path: number for place in range(24 * DAYS) for path, number in hour(place).items()},
    },
    dict.fromkeys(
        (
            "nearest.starts",
            "proposals.*.change.laying_time",
            "proposals.*.change.shade.*.share",
            "proposals.*.change.start",
            "proposals.*.change.steps.*.duration",
            "proposals.*.change.steps.*.wait",
            "proposals.*.crews",
            "proposals.*.floor_parts",
            "proposals.*.last_end",
            "proposals.*.opens_for",
            "proposals.*.parts_fitting",
            "proposals.*.window.best_start",
            "proposals.*.window.ends",
            "proposals.*.window.latest_start",
            "proposals.*.window.starts",
            "proposals.*.window.warmest_boards",
        ),
        "there is a window with room",
    ),
)
