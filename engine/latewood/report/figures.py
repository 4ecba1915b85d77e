"""Figures of an answer as a report writes them: two digits beside a range, tenths of hours that add up."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from latewood.messages import Between, Code, Measure, Share, Speaker, clause
from latewood.messages.values import literal


def measure(value: float, unit: str, digits: int) -> Measure:
    """Return a quantity of an answer, with so many digits."""
    if unit == "%":
        return Share(value / 100)
    found = literal(f"{float(f'{value:.{digits}g}'):f} {unit}")
    if found is None:
        raise ValueError(f"no quantity is written in {unit}")
    return found


def quantity(given: Mapping[str, Any], speaker: Speaker) -> str:
    """Return a quantity, with the range that eight jobs in ten stay in where it has one."""
    unit = given["unit"]
    if given["value"] is None:
        return speaker.clause(clause("report-not-computed"))
    if "low" not in given or given["low"] == given["high"]:
        return speaker.any(measure(given["value"], unit, 3))
    if unit == "mm" and _narrow(given["low"], given["high"]):
        value, low, high = (
            Code(f"{given[name]:.1f}".replace(".", speaker.style.decimal)) for name in ("value", "low", "high")
        )
        return speaker.clause(clause("report-likely-millimetres", value=value, low=low, high=high))
    ends = Between(measure(given["low"], unit, 2), measure(given["high"], unit, 2))
    return speaker.clause(clause("report-likely", value=measure(given["value"], unit, 2), ends=ends))


def _narrow(low: float, high: float) -> bool:
    """Say whether a range (mm) is narrow beside its ends, so that whole numbers would hide it."""
    return high - low < max(abs(low), abs(high)) / 10 and high - low < 10


def tenths(means: Sequence[float], total: float) -> list[int]:
    """Return hours in tenths that add up to the tenths of their total: the largest rests are rounded up."""
    exact = [10 * mean for mean in means]
    whole = [math.floor(one) for one in exact]
    lacking = round(10 * total) - sum(whole)
    order = sorted(range(len(exact)), key=lambda at: whole[at] - exact[at])
    for at in order[: max(0, lacking)]:
        whole[at] += 1
    return whole


def hours(count: int, speaker: Speaker) -> str:
    """Return tenths of an hour: 16.2, 0.5, 8.0; all of a column have one decimal, so that it adds up as it is read."""
    mark = speaker.style.decimal
    return f"{count // 10}{mark}{count % 10}" if count else f"< 0{mark}1"
