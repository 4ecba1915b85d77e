"""Jobs as files: TOML or JSON, with the weather file they name."""

from __future__ import annotations

import tomllib
from datetime import date, datetime
from pathlib import Path
from typing import Any

from latewood.messages import Code, malformed
from latewood.weather.files import read_weather
from latewood.wire.strict_json import decode


def with_weather(job: object, folder: Path) -> object:
    """Return a job with the weather file it names read in; the path counts from the job's own folder.

    Only the command does so: a server reads no files for those who ask it.
    """
    named = job.get("weather") if isinstance(job, dict) else None
    if not isinstance(named, dict) or not isinstance(named.get("file"), str):
        return job
    rest = {name: value for name, value in named.items() if name not in ("file", "kind", "year")}
    read = read_weather(folder / named["file"], kind=named.get("kind"), year=named.get("year"))
    return {**job, "weather": {**read, **rest}}  # type: ignore[dict-item]  # a dict, or nothing was named


def read_file(path: Path) -> object:
    """Return the tree of a TOML or JSON file; raise `Malformed` where it is neither."""
    try:
        body = path.read_bytes()
    except OSError as error:
        raise malformed("file-unreadable", path=Code(path), why=Code(error.strerror)) from None
    if path.suffix == ".json":
        return decode(body)
    try:
        return _dates_as_text(tomllib.loads(body.decode()))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        raise malformed("not-toml", path=Code(path.name), why=Code(error)) from None


def _dates_as_text(value: Any) -> Any:
    """Return a TOML tree as JSON would spell it: dates as ISO 8601 text."""
    if isinstance(value, dict):
        return {name: _dates_as_text(part) for name, part in value.items()}
    if isinstance(value, list):
        return [_dates_as_text(part) for part in value]
    return value.isoformat() if isinstance(value, date | datetime) else value
