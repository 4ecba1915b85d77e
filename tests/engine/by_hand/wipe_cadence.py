"""Four boards laid twice wet on wet by one person, worked by hand in minutes from the first stroke."""

import math

import numpy as np
from tests.engine.by_hand.case import Case, draws

# Boards of 4 m at a pitch of 145 mm: 0.58 m2, a minute to lay and a minute to wipe at 34.8 m2/h. A metre of edge on
# each, a minute at 60 m/h. At 23 degC times are those of the data sheet: 20 to 60 min to the second coat, wiped after
# 60 min, and 75 at the latest. A minute to turn.
COURSE = 4.0 * 0.145
# An arm of 0.3 m reaches across two boards, so two make a band, and the second band waits until the first is wiped.
#   0-1, 1-2   edges of boards 1 and 2         2-3, 3-4   their fields      5          turned
#   20-22      second coat on 1, edge and field, 20 min after its first stroke; on 2 22-24, later than its own 21
#   25         turned; 80-81 board 1 is wiped, 60 min after its last coat began; 82-83 board 2
#   84         turned, and the same again for boards 3 and 4: wiped at 84 + 81 and 84 + 83
BAND, ALL = 84.0, 84.0 + 83.0
# By minute 95 and 97 the boards would be late: 14 min are left. The second coats were on at 22 and 24, 38 and 37 min
# before the first were too old.
SLACK = 14.0
# A pad on a pole reaches across all four. Edges 0 to 4, fields 4 to 8; second coats 20-22, 22-24, 24-26, 26-28; wiped
# from 80, 82, 84 and 86 on, so all off at 87.
WITH_POLE = 87.0 / 60

# A cloth does for 2, 4 or 8 m2 (judgement): 2.32 m2 take one, nine times in ten not more than two.
AREA = 4 * COURSE
CLOTHS, MOST_CLOTHS = math.ceil(AREA / 4), math.ceil(AREA / 2)
# A cloth weighs 60, 100 or 180 g with its oil, and lies at 120, 200 or 350 kg/m3 under water: judgement.
VOLUME = CLOTHS * 1000 * draws(1, 0.060, 0.100, 0.180) / draws(2, 120, 200, 350)


def band(boards: str, place: int) -> dict[str, float | int]:
    """Return the lines of one band: the second is the first, 84 min later."""
    first, starts = 2 * place + 1, place * BAND
    return {
        f"bands.{boards}.first_course": first,
        f"bands.{boards}.last_course": first + 1,
        f"bands.{boards}.edge_length m": 2.0,
        f"bands.{boards}.begins min": starts,
        f"bands.{boards}.laid_by min": starts + 24.0,
        f"bands.{boards}.wiping_begins min": starts + 80.0,
        f"bands.{boards}.wiped min": starts + 83.0,
        f"bands.{boards}.wipe_deadline min": starts + 95.0,
        f"bands.{boards}.slack min": SLACK,
        f"timeline.{boards}-lay.begins min": starts,
        f"timeline.{boards}-again.begins min": starts + 20.0,
        f"timeline.{boards}-wipe.begins min": starts + 80.0,
        f"timeline.{boards}-cloths.begins min": starts + 83.0,
    }


CASE = Case(
    "wipe-cadence",
    {
        "coating": "semi-transparent-oil-stain",
        "species": "western-redcedar",
        "product": {"wipe": "60-75 min", "longest_wipe": "75 min", "second_coat": "20-60 min"},
        "surface_temperature": "23 degC",
        "runs": [{"id": "main", "course_length": "4 m", "pitch": "145 mm", "courses": 4, "edge_length": "4 m"}],
        "appliers": 1,
        "laying_pace": "34.8 m2/h",
        "wiping_pace": "34.8 m2/h",
        "edge_pace": "60 m/h",
        "turn_time": "1 min",
        "arm_reach": "0.3 m",
    },
    {
        "wipe_after min": 60.0,
        "wipe_by min": 75.0,
        "second_coat_after min": 20.0,
        "second_coat_by min": 60.0,
        "area m2": AREA,
        "courses_per_band": 2,
        "duration h": ALL / 60,
        # Paces without a range: a slow crew is the typical one.
        "slow_duration h": ALL / 60,
        # Board 1 is laid for good at 22 and wiped at 81, board 2 at 24 and 83; their second coats began at 20 and 22.
        "least_dwell min": 59.0,
        "most_dwell min": 61.0,
        "runs.main.courses_per_band": 2,
        "runs.main.most_courses": 2,
        "runs.main.typical_courses": 2,
        "runs.main.band_count": 2,
        "runs.main.band_area m2": 2 * COURSE,
        "runs.main.laying_time min": 2.0,
        "runs.main.edge_time min": 2.0,
        "runs.main.wiping_time min": 2.0,
        "runs.main.band_time min": ALL / 2,
        "runs.main.duration min": ALL,
        **band("main-1-2", 0),
        **band("main-3-4", 1),
        "changes.pad-on-a-pole.courses_per_band": 4,
        "changes.pad-on-a-pole.duration h": WITH_POLE,
        "cloths": CLOTHS,
        "most_cloths": MOST_CLOTHS,
        "waste.oily-cloths.waste_mass kg": (0.060, 0.100, 0.180),
        "waste.oily-cloths.waste_volume L": VOLUME,
        # In cans of 10 L.
        "waste.oily-cloths.container_count": math.ceil(np.quantile(VOLUME, 0.9) / 10),
    },
)
