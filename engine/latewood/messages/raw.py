"""Numbers written by a Python format, in SI or in the unit named after it: ``{area:!.3g}``, ``{depth:!.1f mm}``.

Only for texts moved here from code as they were. A rewritten text has none, and with the last one this module goes.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from latewood.messages.measures import Measure
from latewood.messages.values import Between, Limit, Moment
from latewood.quantities.scales import SCALES


def write(value: Any, spec: str) -> str:
    """Return a value by the format of a text that is not rewritten yet."""
    if isinstance(value, Limit):
        return write(value.measure, spec) if spec else value.given
    if isinstance(value, Moment):
        return format(value.at, spec) if spec else str(value.at)
    if isinstance(value, Between):
        low, high = write(value.low, spec), write(value.high, spec)
        return low if value.low == value.high else f"{low} to {high}"
    if isinstance(value, Measure):
        spec, _, unit = spec.partition(" ")
        if not unit:
            return format(float(value), spec)
        top, add, bottom = SCALES[value.dimension][unit]
        return format((float(value) * bottom - add) / top, spec)
    return format(value, spec) if spec else str(value)


def writer(spec: str) -> Callable[[Any], str]:
    """Return the function that writes by a format."""
    return lambda value: write(value, spec)
