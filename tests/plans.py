"""Plans as a client decodes them; those that many tests ask about are worked out once in a process."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any, Final

import msgspec
from tests.bundled import bundled

from latewood.job_files import read_file, with_weather
from latewood.wire import Options

JOBS: Final = Path(__file__).parents[1] / "examples" / "jobs"
#: The example jobs, by name.
EXAMPLES: Final = sorted(path.stem for path in JOBS.glob("*.toml"))


def example(name: str) -> Any:
    """Return an example job, its weather read in."""
    return msgspec.json.decode(_read(name))


def planned(job: Any, **options: Any) -> Any:
    """Return the plan of a job others ask about too."""
    return msgspec.json.decode(_kept(msgspec.json.encode(job), Options(**options)))


def planned_once(job: Any, **options: Any) -> Any:
    """Return the plan of a job nobody else asks about, such as one that dice make."""
    return msgspec.json.decode(_planned(msgspec.json.encode(job), Options(**options)))


@cache
def _read(name: str) -> bytes:
    return msgspec.json.encode(with_weather(read_file(JOBS / f"{name}.toml"), JOBS))


def _planned(job: bytes, options: Options) -> bytes:
    return msgspec.json.encode(bundled().plan(msgspec.json.decode(job), options))


_kept: Final = cache(_planned)
