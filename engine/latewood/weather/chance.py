"""Chances of rain: what each is for, and the rain that is reckoned with because of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Final

import numpy as np

from latewood.messages import Moment, Share, clause, refusal
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.weather.fields import ChancePeriod
from latewood.weather.hours import Array, Flags, Hours

#: Water of a shower that a chance stands for, in kg/m2: enough to wet boards, no forecast of an amount. Judgement.
SHOWER: Final = 1.0
#: Steps of one day that must carry one chance before it looks like that of the day: a third of its hours. Judgement.
ALIKE: Final = 8


def by_period(hours: Hours, period: ChancePeriod | None, ledger: Ledger, pointer: str) -> Hours:
    """Return the hours with their chances of rain as those of the day, where they are said to be."""
    column = hours.rain_chance
    at = f"{pointer}/columns/rain_chance"
    if period == "day" and column is None:
        raise InputProblem([refusal("period-without-chance", f"{pointer}/rain_chance_period")])
    if column is None:
        return hours
    if period == "day":
        return replace(hours, rain_chance=None, day_chance=_of_days(hours, column, at))
    if period is None and (day := _looks_daily(hours, column)) is not None:
        params = {"day": day[0].isoformat(), "chance": round(day[1], 4)}
        shown, likely = Moment(day[0]), Share(day[1])
        ledger.find("rain-chance-looks-daily", pointer=at, params=params, day=shown, chance=likely)
    return hours


def _of_days(hours: Hours, column: Array, at: str) -> Array:
    """Return the chance of each step's day; refuse a day that has two."""
    found = np.full(len(hours), np.nan)
    faults = []
    for day in np.unique(hours.day):
        own = hours.day == day
        given = np.unique(column[own][~np.isnan(column[own])])
        if len(given) > 1:
            when = Moment(hours.at(int(np.argmax(own))).date())
            low, high = Share(float(given[0])), Share(float(given[-1]))
            faults.append(refusal("day-with-two-chances", at, day=when, low=low, high=high))
        elif len(given):
            found[own] = given[0]
    if faults:
        raise InputProblem(faults)
    return found


def _looks_daily(hours: Hours, column: Array) -> tuple[date, float] | None:
    """Return a day and its chance, where every day carries one chance all day long and rain is neither sure nor out."""
    shown = None
    for day in np.unique(hours.day):
        values = column[hours.day == day]
        known = values[~np.isnan(values)]
        if len(known) < min(ALIKE, 86_400 / hours.step / 3):
            continue
        if np.ptp(known) > 1e-9:
            return None
        if shown is None and 0 < known[0] < 1:
            shown = (hours.at(int(np.argmax(hours.day == day))).date(), float(known[0]))
    return shown


def note_period(hours: Hours, period: ChancePeriod | None, ledger: Ledger) -> None:
    """Write down what a chance of rain is for."""
    if hours.day_chance is not None:
        note = clause("chance-of-day")
        ledger.use("input/weather/rain_chance_period", "day", "default" if period is None else "input", note=note)
    elif hours.rain_chance is not None:
        note = clause("chance-of-step")
        ledger.use("input/weather/rain_chance_period", "step", "default" if period is None else "input", note=note)


def reckoned_rain(hours: Hours, threshold: float, ledger: Ledger) -> Array:
    """Return the rain of each step in kg/m2: recorded, or a shower where its chance reaches the threshold.

    A day that reaches it gets one shower, in its last step: the later it falls, the longer boards wait after it.
    """
    rain = np.zeros(len(hours)) if hours.rain is None else np.nan_to_num(hours.rain) * 1000
    if hours.rain_chance is not None:
        rain = np.where((rain <= 0) & (np.nan_to_num(hours.rain_chance) >= threshold), SHOWER, rain)
    if hours.day_chance is None:
        return rain
    likely = np.nan_to_num(hours.day_chance) >= threshold
    for day in np.unique(hours.day[likely]):
        own: Flags = hours.day == day
        if not (rain[own] > 0).any():
            rain[int(np.flatnonzero(own)[-1])] = SHOWER
    wet = [Moment(hours.at(int(np.argmax(hours.day == day))).date()) for day in np.unique(hours.day[likely])]
    counted = clause("showers-on", days=[clause("on-day", day=day) for day in wet[:5]])
    ledger.find(
        "rain-chance-for-drying",
        pointer="/weather",
        params={"days": len(wet)},
        threshold=Share(threshold),
        counted=counted if wet else clause("no-shower"),
    )
    return rain
