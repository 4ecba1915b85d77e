"""Tasks by a rate, by hours and by three guesses, worked by hand."""

import numpy as np
from scipy.special import ndtri
from tests.engine.by_hand.case import Z90, Case, Quantile, draws, scores

# A fifth of a crew's pace is common to all its tasks, as asked: any two scores have the correlation 0.2.
RHO, CREW = 0.2, scores(0)


def joined(seed: int, low: float, median: float, high: float) -> np.ndarray:
    """Draw as `draws` does, with a score of which a part is that of the crew: sorted draws, in the mixed order."""
    mixed = np.sqrt(RHO) * CREW + np.sqrt(1 - RHO) * scores(seed)
    return np.sort(draws(seed, low, median, high))[np.argsort(np.argsort(mixed))]


def guessed(seed: int, least: float, likely: float, most: float) -> np.ndarray:
    """Draw a normal time with the PERT mean (a + 4b + c)/6 and deviation (c - a)/6, in the mixed order."""
    mixed = np.sqrt(RHO) * CREW + np.sqrt(1 - RHO) * scores(seed)
    return (least + 4 * likely + most) / 6 + (most - least) / 6 * mixed


# Paces in an hour: 5, 10, 15 m2 sanded, 3, 5, 8 steps (common practice, recalled), 2, 3.5, 6 m2 of a guard coated.
SAND = joined(1, 20 / 15, 20 / 10, 20 / 5)
STEPS = joined(2, 8 / 8, 8 / 5, 8 / 3)
GUARDS = joined(3, 14 / 6, 14 / 3.5, 14 / 2)
LAMP = guessed(4, 1, 2, 3)
# Hours of a day's setting up 0.5, 0.75, 1.5, of cloths 0.15, 0.25, 0.4, of a visit 0.7, 1, 1.6; travel 0.5 to 0.72 h
# for two people on three days and one visit.
SET_UP = joined(5, 3 * 0.5, 3 * 0.75, 3 * 1.5)
CLOTHS = joined(6, 2 * 0.15, 2 * 0.25, 2 * 0.4)
VISITS = joined(7, 0.7, 1.0, 1.6)
TRAVEL = joined(8, 8 * 0.5, 8 * 0.6, 8 * 0.72)
TASKS = {
    "sand-field": SAND,
    "sand-steps": STEPS,
    "coat-guards": GUARDS,
    "lamp": LAMP,
    "set-up": SET_UP,
    "cloths": CLOTHS,
    "visits": VISITS,
    "travel": TRAVEL,
}
WHOLE = np.sum(list(TASKS.values()), axis=0)
SITE = LAMP + SET_UP + CLOTHS + VISITS + TRAVEL


def mean(median: float, low: float, high: float) -> float:
    """Return the mean of two half lognormals over the middles of 2048 equal intervals of probability."""
    z = ndtri((np.arange(2048) + 0.5) / 2048)
    return float(np.mean(median * np.exp(z / Z90 * np.where(z < 0, np.log(median / low), np.log(high / median)))))


MEANS = {
    "sand-field": mean(2, 20 / 15, 4),
    "sand-steps": mean(1.6, 1, 8 / 3),
    "coat-guards": mean(4, 14 / 6, 7),
    "lamp": 2.0,
    "set-up": mean(2.25, 1.5, 4.5),
    "cloths": mean(0.5, 0.3, 0.8),
    "visits": mean(1, 0.7, 1.6),
    "travel": mean(4.8, 4, 5.76),
}
MEAN = sum(MEANS.values())

CASE = Case(
    "labour",
    {
        "tasks": [
            {"id": "sand-field", "works_on": "floor", "rate": "sand-first-softwood", "area": "20 m2"},
            {"id": "sand-steps", "works_on": "stairs", "rate": "stair-step", "count": 8, "actual_time": "2 h"},
            {"id": "coat-guards", "works_on": "guards", "lays_coating": True, "rate": "coat-guard", "area": "14 m2"},
            {"id": "lamp", "works_on": "site", "least_time": "1 h", "likely_time": "2 h", "most_time": "3 h"},
        ],
        "workdays": 3,
        "coating_workdays": 2,
        "visits": 1,
        "people": 2,
        "travel_time": "0.5-0.72 h",
        "pace_correlation": "20 %",
    },
    {
        "time h": WHOLE,
        "time_p80 h": Quantile(WHOLE, 0.8),
        "mean_time h": MEAN,
        "floor_time h": (20 / 15, 2.0, 4.0),
        "stair_time h": (1.0, 1.6, 8 / 3),
        "guard_time h": (14 / 6, 4.0, 7.0),
        "site_time h": SITE,
        "coating_time h": (14 / 6, 4.0, 7.0),
        "actual_time h": 2.0,
        "planned_time h": (1.0, 1.6, 8 / 3),
        **{f"tasks.{id}.mean_time h": MEANS[id] for id in TASKS},
        **{f"tasks.{id}.share %": 100 * MEANS[id] / MEAN for id in TASKS},
        "tasks.sand-steps.over_mean %": 100 * (2 / MEANS["sand-steps"] - 1),
        "tasks.sand-field.time h": (20 / 15, 2.0, 4.0),
        "tasks.sand-steps.time h": (1.0, 1.6, 8 / 3),
        "tasks.coat-guards.time h": (14 / 6, 4.0, 7.0),
        "tasks.lamp.time h": (2 - Z90 / 3, 2.0, 2 + Z90 / 3),
        "tasks.set-up.time h": (1.5, 2.25, 4.5),
        "tasks.cloths.time h": (0.3, 0.5, 0.8),
        "tasks.visits.time h": (0.7, 1.0, 1.6),
        "tasks.travel.time h": (4.0, 4.8, 5.76),
    },
)
