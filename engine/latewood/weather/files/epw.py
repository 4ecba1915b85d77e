"""EPW: the weather files of building simulation."""

from __future__ import annotations

import csv
from typing import Any, Final

from latewood.weather.files.typical import Typical, line_problem, tree

# EnergyPlus, Auxiliary Programs, "EnergyPlus Weather File (EPW) Data Dictionary" (recalled): field by place in the
# line, counted from 0, with the number that stands for not recorded.
_FIELDS: Final = {
    "air_temperature": (6, 99.9),
    "dew_point": (7, 99.9),
    "relative_humidity": (8, 999.0),
    "irradiance": (13, 9999.0),
    "wind_speed": (21, 999.0),
    "cloud": (23, 99.0),
    "rain": (33, 999.0),
}
_UNITS: Final = {
    "air_temperature": "degC",
    "dew_point": "degC",
    "relative_humidity": "%",
    "irradiance": "W/m2",
    "wind_speed": "m/s",
    "cloud": "%",
    "rain": "mm",
}
_HEADER: Final = 8


def read_epw(text: str, year: int | None = None) -> dict[str, Any]:
    """Return the weather of an EPW file of hours. Hours count from 1 to 24 and end their hour, in standard time.

    A rain column that is zero or missing throughout was not recorded: it is left out, and a remark says so.
    """
    lines = text.splitlines()
    try:
        offset = float(lines[0].split(",")[8])
    except (IndexError, ValueError):
        raise line_problem("epw-without-offset", 1) from None
    typical = Typical(offset)
    for line, row in enumerate(csv.reader(lines[_HEADER:]), _HEADER + 1):
        if not row:
            continue
        try:
            own, month, day, hour = (int(part) for part in row[:4])
            values = {name: _number(row, *where) for name, where in _FIELDS.items()}
        except (ValueError, IndexError):
            raise line_problem("not-an-epw-line", line) from None
        if values["cloud"] is not None:
            values["cloud"] *= 10.0
        typical.add(own, month, day, hour, values)
    _settle_rain(typical)
    return tree(typical, dict(_UNITS), year)


def _number(row: list[str], place: int, gone: float) -> float | None:
    if place >= len(row) or not row[place].strip():
        return None
    value = float(row[place])
    return None if value >= gone else value


def _settle_rain(typical: Typical) -> None:
    rain = typical.columns.get("rain", [])
    known = [value for value in rain if value is not None]
    if not known:
        typical.remarks.append("rain-all-missing")
    elif not any(known):
        typical.remarks.append("rain-all-zero")
        typical.columns["rain"] = [None] * len(rain)
    elif len(known) < len(rain):
        typical.remarks.append("rain-partly-missing")
