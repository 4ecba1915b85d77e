"""Weather from files: CSV with units in its header, TMY3 and EPW. Each is read into what a request would send."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from latewood.messages import Code, Count, Name, refusal
from latewood.problems import InputProblem
from latewood.weather.files.epw import read_epw
from latewood.weather.files.table import read_table
from latewood.weather.files.tmy3 import read_tmy3
from latewood.weather.files.typical import FILE

#: The largest file read: a year of minutes is below it.
MOST_BYTES: Final = 64 * 2**20

_TYPICAL: Final[Mapping[str, Callable[[str, int | None], dict[str, Any]]]] = {"epw": read_epw, "tmy3": read_tmy3}


def read_weather(path: Path, *, kind: str | None = None, year: int | None = None) -> dict[str, Any]:
    """Return the weather of a file as the tree a request would send.

    ``kind`` is csv, epw or tmy3; without it the file itself tells. ``year`` takes the place of the years of a
    typical year. Raises `InputProblem` for a file that is none of these, or not whole.
    """
    try:
        if path.stat().st_size > MOST_BYTES:
            raise InputProblem([refusal("file-too-large", FILE, file=Name(path.name), most=Count(MOST_BYTES >> 20))])
        text = path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        why = Code(error.strerror)
        raise InputProblem([refusal("file-not-readable", FILE, file=Name(path), why=why)]) from None
    except UnicodeDecodeError:
        raise InputProblem([refusal("file-not-text", FILE, file=Name(path.name))]) from None
    kind = kind or kind_of(text)
    if kind not in ("csv", *_TYPICAL):
        raise InputProblem([refusal("file-not-weather", FILE, file=Name(path.name))])
    if kind == "csv":
        if year is not None:
            raise InputProblem([refusal("year-beside-times", "/weather/year", file=Name(path.name))])
        return read_table(text)
    return _TYPICAL[kind](text, year)


def kind_of(text: str) -> str:
    """Tell CSV, TMY3 and EPW apart by how they begin."""
    first, _, rest = text.partition("\n")
    if first.startswith("LOCATION,"):
        return "epw"
    if rest.startswith("Date (MM/DD/YYYY)"):
        return "tmy3"
    return "csv" if first.startswith(("time,", "time [")) else "unknown"
