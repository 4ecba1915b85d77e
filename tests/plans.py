"""Plans as a client decodes them; those that many tests ask about are worked out once in a run of tests."""

from __future__ import annotations

import hashlib
import os
from functools import cache
from pathlib import Path
from typing import Any, Final

import msgspec
from tests.bundled import bundled

from latewood.job_files import read_file, with_weather
from latewood.wire import Options

JOBS: Final = Path(__file__).parents[1] / "examples" / "jobs"
#: Names the folder in which the processes of a run find what one of them has planned.
SHARED: Final = "LATEWOOD_TESTS_PLANS"
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


@cache
def _kept(job: bytes, options: Options) -> bytes:
    folder = os.environ.get(SHARED)
    if folder is None:
        return _planned(job, options)
    place = Path(folder, hashlib.sha256(repr(options).encode() + job).hexdigest())
    if not place.exists():
        beside = place.with_suffix(f".{os.getpid()}")
        beside.write_bytes(_planned(job, options))
        beside.replace(place)
    return place.read_bytes()
