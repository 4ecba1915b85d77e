"""What Python has and JSON has not: NumPy's numbers and arrays, tuples, dates, and quantities of pint."""

from __future__ import annotations

from datetime import date
from types import NoneType
from typing import Any, Final

import numpy as np

from latewood.quantities.with_pint import is_quantity, measured

#: What JSON brings, and is read as it is.
OF_JSON: Final = frozenset({str, int, float, bool, dict, list, NoneType})


def plain(value: Any) -> Any:
    """Return what JSON would have brought; a quantity stays, because its field says how it is spelt."""
    if isinstance(value, np.generic | np.ndarray):
        value = value.tolist()
    if isinstance(value, date):
        return value.isoformat()
    return list(value) if isinstance(value, tuple) else value


def quantity(value: Any, dimension: str, *, uncertain: bool) -> Any:
    """Return a quantity of pint as a request sends it; an array of two or three is a range, where one is taken."""
    if not is_quantity(value):
        return value
    numbers, unit = measured(value, dimension)
    match numbers:
        case [low, high] if uncertain:
            return {"low": low, "high": high, "unit": unit}
        case [low, middle, high] if uncertain:
            return {"value": middle, "low": low, "high": high, "unit": unit}
        case _:
            return {"value": numbers, "unit": unit}


def series(value: Any, dimension: str) -> Any:
    """Return an array of pint as a request sends a series."""
    if not is_quantity(value):
        return value
    numbers, unit = measured(value, dimension)
    return {"unit": unit, "values": numbers}
