"""TMY3: the typical years of the United States' National Renewable Energy Laboratory."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from typing import Any, Final

from latewood.messages import Code
from latewood.weather.files.typical import Column, Typical, line_problem, tree

# Wilcox and Marion 2008, Users Manual for TMY3 Data Sets, NREL/TP-581-43156 (recalled): columns by their headings.
_COLUMNS: Final = {
    "air_temperature": "Dry-bulb (C)",
    "dew_point": "Dew-point (C)",
    "relative_humidity": "RHum (%)",
    "wind_speed": "Wspd (m/s)",
    "irradiance": "GHI (W/m^2)",
    "cloud": "OpqCld (tenths)",
}
_DEPTH, _OVER = "Lprecip depth (mm)", "Lprecip quantity (hr)"
_UNITS: Final = {
    "air_temperature": "degC",
    "dew_point": "degC",
    "relative_humidity": "%",
    "wind_speed": "m/s",
    "irradiance": "W/m2",
    "cloud": "%",
    "rain": "mm",
}
_GONE: Final = -9900.0
_INCH: Final = 25.4
#: Of whole numbers of millimetres four in ten would fit by chance.
_NEARLY_ALL: Final = 0.9
#: A column of which less than this is known says nothing of the rest.
_HALF: Final = 0.5


def read_tmy3(text: str, year: int | None = None) -> dict[str, Any]:
    """Return the weather of a TMY3 file. Stamps end their hour, in local standard time; -9900 is not recorded."""
    lines = csv.reader(text.splitlines())
    try:
        offset = float(next(lines)[3])
        header = {name.strip(): place for place, name in enumerate(next(lines))}
    except (StopIteration, IndexError, ValueError):
        raise line_problem("tmy3-without-offset", 1) from None
    gone = [name for name in (*_COLUMNS.values(), "Date (MM/DD/YYYY)", "Time (HH:MM)") if name not in header]
    if gone:
        raise line_problem("tmy3-without-column", 2, column=Code(gone[0]))
    typical = Typical(offset)
    for line, row in enumerate(lines, 3):
        try:
            month, day, own = (int(part) for part in row[header["Date (MM/DD/YYYY)"]].split("/"))
            hour = int(row[header["Time (HH:MM)"]].split(":")[0])
            values = {name: _number(row[header[column]]) for name, column in _COLUMNS.items()}
            rain = _rain(row, header)
        except (ValueError, IndexError):
            raise line_problem("not-a-tmy3-line", line) from None
        if values["cloud"] is not None:
            values["cloud"] *= 10.0
        typical.add(own, month, day, hour, {**values, "rain": rain})
    _settle_rain(typical)
    return tree(typical, dict(_UNITS), year)


def _number(cell: str) -> float | None:
    value = float(cell)
    return None if value <= _GONE else value


def _rain(row: list[str], header: Mapping[str, int]) -> float | None:
    """Return the rain of one hour; a depth gathered over several hours says nothing of a single one."""
    if _DEPTH not in header or _OVER not in header:
        return None
    depth, over = _number(row[header[_DEPTH]]), _number(row[header[_OVER]])
    return depth if over == 1 else None


def _settle_rain(typical: Typical) -> None:
    """Find out whether rain was recorded, and in what unit."""
    rain = typical.columns.get("rain", [])
    known = [value for value in rain if value is not None]
    if len(known) < _HALF * len(rain):
        typical.remarks.append("rain-all-missing" if not known else "rain-mostly-missing")
        typical.columns["rain"] = [None] * len(rain)
    elif not any(known):
        typical.remarks.append("rain-all-zero")
        typical.columns["rain"] = [None] * len(rain)
    else:
        if len(known) < len(rain):
            typical.remarks.append("rain-partly-missing")
        if in_tenths(known):
            typical.remarks.append("rain-in-tenths")
            typical.columns["rain"] = _divided(rain)


def in_tenths(values: Iterable[float]) -> bool:
    """Say whether depths headed mm are tenths of it: nearly all are hundredths of an inch, rounded to whole tenths.

    The headings of some files say mm where the numbers are 3, 5, 8, 10, 13 ...: 0.01 inch is 0.254 mm. Depths that are
    really in mm would often be 1, 2, 4, 7, or have decimals.
    """
    wet = [value for value in values if value > 0]
    steps = {float(round(count * _INCH / 10.0)) for count in range(1, 1001)}
    fitting = sum(value in steps for value in wet)
    return fitting > _NEARLY_ALL * len(wet)


def _divided(rain: Column) -> Column:
    return [None if value is None else value / 10.0 for value in rain]
