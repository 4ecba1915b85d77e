"""Typical years: months from different years, put into one."""

from __future__ import annotations

from calendar import isleap
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta, timezone
from typing import Any, Final

from latewood.messages import Clause, Count, refusal
from latewood.problems import InputProblem
from latewood.quantities.units import UnitError

Column = list[float | None]
#: Where a file stands among the inputs.
FILE: Final = "/weather/file"


@dataclass
class Typical:
    """Hours of a typical year as they stand in a file: stamps at the end of each hour, standard time."""

    offset: float
    stamps: list[tuple[int, int, int]] = field(default_factory=list)
    years: list[int] = field(default_factory=list)
    columns: dict[str, Column] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)

    def add(self, year: int, month: int, day: int, hour: int, values: dict[str, float | None]) -> None:
        """Add one hour; ``hour`` counts from 1, at whose end it is stamped."""
        self.years.append(year)
        self.stamps.append((month, day, hour))
        for name, value in values.items():
            self.columns.setdefault(name, []).append(value)


def line_problem(id: str, line: int, **values: Any) -> InputProblem:
    """Return the refusal of a line, counted from 1."""
    return InputProblem([refusal(id, FILE, line=Count(line), **values)])


def unit_problem(line: int, error: UnitError) -> InputProblem:
    """Return the fault of a line of which a time or a zone cannot be read."""
    why, wanted = (Clause(f"{error.id}.{part}", error.values) for part in ("detail", "expected"))
    return InputProblem([refusal("line-unread", FILE, line=Count(line), why=why, wanted=wanted, nearest=error.nearest)])


def tree(typical: Typical, units: dict[str, str], year: int | None) -> dict[str, Any]:
    """Return the tree of a request. Without ``year`` the hours are taken to lie in the year of the first of them.

    Hours that are not in the file, such as 29 February, are not recorded; hours out of order are refused.
    """
    if not typical.stamps:
        raise line_problem("no-hour-of-weather", 1)
    spliced = len(set(typical.years)) > 1
    in_year = typical.years[0] if year is None else year
    zone = timezone(timedelta(hours=typical.offset))
    start = datetime(in_year, typical.stamps[0][0], typical.stamps[0][1], tzinfo=zone) + timedelta(
        hours=typical.stamps[0][2] - 1
    )
    places = _places(typical.stamps, in_year, start, zone)
    count = places[-1] + 1
    columns = {}
    for name, values in typical.columns.items():
        if all(value is None for value in values):
            continue
        spread: Column = [None] * count
        for place, value in zip(places, values, strict=True):
            spread[place] = value
        columns[name] = {"unit": units[name], "values": spread}
    remarks = [*typical.remarks, *(["typical-year"] if spliced else [])]
    remarks += ["year-changed"] if year is not None and not spliced and year != typical.years[0] else []
    return {
        "start": (start + timedelta(hours=1)).isoformat(timespec="seconds"),
        "step": "1 h",
        "stamp": "end",
        "columns": columns,
        "remarks": list(dict.fromkeys(remarks)),
    }


def _places(stamps: Sequence[tuple[int, int, int]], year: int, start: datetime, zone: timezone) -> list[int]:
    found: list[int] = []
    for line, (month, day, hour) in enumerate(stamps):
        if (month, day) == (2, 29) and not isleap(year):
            raise line_problem("no-29-february", line + 1, year=Count(year))
        at = datetime(year, month, day, tzinfo=zone) + timedelta(hours=hour - 1)
        place = round((at - start).total_seconds() / 3600)
        if found and place <= found[-1]:
            raise line_problem("hours-out-of-line", line + 1)
        found.append(place)
    return found
