"""A CSV file of weather: a column ``time``, then columns such as ``air_temperature [degC]``."""

from __future__ import annotations

import csv
import math
import re
from datetime import datetime
from itertools import pairwise
from typing import Any, Final

import msgspec

from latewood.messages import Code, Count
from latewood.problems import nearest
from latewood.quantities.instants import Moment, read_moment, zone_of
from latewood.quantities.units import UnitError
from latewood.weather.fields import WeatherColumns
from latewood.weather.files.typical import Column, line_problem, unit_problem

_HEADER = re.compile(r"([a-z_]+) ?\[([^\]]+)\]")
_TIME = re.compile(r"time(?: \[(start|end)(?: ([A-Za-z0-9_+\-/]+))?\])?")
_NAMES: Final = tuple(field.name for field in msgspec.structs.fields(WeatherColumns))
#: A heading by which a file says that its chances of rain are for whole days.
_DAYS: Final = "rain_chance_day"


def read_table(text: str) -> dict[str, Any]:
    """Return the weather of a CSV file.

    The first heading is ``time``, ``time [end]`` or ``time [start Europe/Oslo]``: which end of its step a stamp
    names, and the zone of local times; then come columns with their unit. An empty cell is not recorded. Rows follow
    one another at equal steps; rows that are left out were not recorded. A local hour that comes twice is told apart
    by its order, one that clocks skip is refused. A column ``rain_chance_day`` holds chances for whole days.
    """
    lines = list(csv.reader(text.splitlines()))
    if len(lines) < 3:
        raise line_problem("table-without-rows", 1)
    stamp, zone = _time_heading(lines[0][0])
    headings = [_heading(cell, place) for place, cell in enumerate(lines[0][1:], 2)]
    names = [("rain_chance" if name == _DAYS else name, unit) for name, unit in headings]
    daily = any(name == _DAYS for name, _ in headings)
    if len(dict(names)) < len(names):
        raise line_problem("quantity-twice", 1)
    instants: list[datetime] = []
    columns: dict[str, Column] = {name: [] for name, _ in names}
    for line, row in enumerate(lines[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) != len(names) + 1:
            cells, under = Count(len(row)), Count(len(names) + 1)
            raise line_problem("cells-and-headings", line, cells=cells, headings=under)
        instants.append(_instant(row[0].strip(), zone, instants, line))
        for (name, _), cell in zip(names, row[1:], strict=True):
            columns[name].append(_cell(cell, line))
    step, places = _steps(instants)
    return {
        "start": instants[0].isoformat(timespec="seconds"),
        "step": f"{step:g} s",
        "stamp": stamp,
        "columns": {
            name: {"unit": unit, "values": _spread(columns[name], places)} for name, unit in dict(names).items()
        },
        **({"rain_chance_period": "day"} if daily else {}),
        **({"timezone": zone} if zone else {}),
    }


def _time_heading(cell: str) -> tuple[str, str | None]:
    found = _TIME.fullmatch(cell.strip())
    if found is None:
        raise line_problem("not-a-time-heading", 1, heading=_quoted(cell))
    if found[2] is not None:
        try:
            zone_of(found[2])
        except UnitError as error:
            raise unit_problem(1, error) from None
    return found[1] or "start", found[2]


def _heading(cell: str, place: int) -> tuple[str, str]:
    found = _HEADER.fullmatch(cell.strip())
    if found is None:
        raise line_problem("not-a-heading", 1, place=Count(place), heading=_quoted(cell))
    if found[1] not in (*_NAMES, _DAYS):
        close = nearest(found[1], (*_NAMES, _DAYS))
        columns = [Code(name) for name in ((close,) if close else (*_NAMES, _DAYS))]
        raise line_problem("no-such-column", 1, column=Code(repr(found[1])), columns=columns)
    return found[1], found[2]


def _instant(text: str, zone: str | None, before: list[datetime], line: int) -> datetime:
    try:
        moment = read_moment(text.replace(" ", "T", 1))
        if not moment.local:
            return moment.written
        return _local(moment, zone, before, line)
    except UnitError as error:
        raise unit_problem(line, error) from None


def _local(moment: Moment, zone: str | None, before: list[datetime], line: int) -> datetime:
    """Return a local time as an instant; of one that comes twice the first that lies after the row before."""
    if zone is None:
        raise line_problem("time-without-offset", line, time=Code(moment.text))
    place = zone_of(zone)
    first, second = (moment.written.replace(tzinfo=place, fold=fold) for fold in (0, 1))
    if first.utcoffset() == second.utcoffset() or not before:
        return moment.instant(place).astimezone(place)
    if first.utcoffset() < second.utcoffset():  # type: ignore[operator]  # neither is None, they have a zone
        return moment.instant(place)  # clocks skip it: refused there
    return first if first.timestamp() > before[-1].timestamp() else second


def _cell(cell: str, line: int) -> float | None:
    if not cell.strip():
        return None
    try:
        value = float(cell)
    except ValueError:
        raise line_problem("cell-not-a-number", line, cell=_quoted(cell)) from None
    if not math.isfinite(value):
        raise line_problem("cell-not-finite", line, cell=_quoted(cell))
    return value


def _quoted(cell: str) -> Code:
    return Code(repr(cell[:40]))


def _steps(instants: list[datetime]) -> tuple[float, list[int]]:
    """Return the step in s and the place of each row; refuse rows that do not follow one another at whole steps."""
    # Times of one zone subtract as its clocks show them: instants are compared.
    gaps = [after - before for before, after in pairwise(at.timestamp() for at in instants)]
    if min(gaps) <= 0:
        raise line_problem("row-out-of-order", gaps.index(min(gaps)) + 3)
    step = min(gaps)
    places = [0]
    for line, gap in enumerate(gaps, 3):
        whole = round(gap / step)
        if abs(gap - whole * step) > 1:
            raise line_problem("row-between-steps", line)
        places.append(places[-1] + whole)
    return step, places


def _spread(values: Column, places: list[int]) -> Column:
    spread: Column = [None] * (places[-1] + 1)
    for place, value in zip(places, values, strict=True):
        spread[place] = value
    return spread
