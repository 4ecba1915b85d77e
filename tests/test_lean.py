"""What `pip install '.[api]'` brings is imported by a running server, or is needed by something that is."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from importlib.metadata import requires
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from tests.imports import MEASURE

from latewood.cache import VARIABLE

#: What comes with packages that litestar requires and this server does not import (polyfactory, rich, httpx): nothing
#: that pip is told leaves it out. The list only shrinks.
WITH_LITESTAR = {"certifi", "faker", "httpcore", "pygments"}
#: Zones of time are read from its files, by `zoneinfo`, where the system has none.
FILES_ONLY = {"tzdata"}
#: Asked where this user's caches are, once there is something to keep; quantities for those who calculate in Python;
#: drawn with where a terminal is written to.
LATER = {"pint", "platformdirs", "rich"}
#: What pint needs and nothing else does.
WITH_PINT = {"flexcache", "flexparser"}


def required(name: str, extras: set[str]) -> Iterator[Requirement]:
    """Yield what an installed distribution requires here, with these extras."""
    for text in requires(name) or ():
        requirement = Requirement(text)
        marker = requirement.marker
        if marker is None or any(marker.evaluate({"extra": extra}) for extra in extras or {""}):
            yield requirement


def brought() -> dict[str, set[str]]:
    """Return all that latewood[api] brings, each with those that require it."""
    found: dict[str, set[str]] = {}
    waiting = [("latewood", {"api", ""})]
    while waiting:
        name, extras = waiting.pop()
        for requirement in required(name, extras):
            one = canonicalize_name(requirement.name)
            if one not in found:
                waiting.append((one, set(requirement.extras) | {""}))
            found.setdefault(one, set()).add(canonicalize_name(name))
    return found


def test_what_is_brought_is_imported_or_needed_by_what_is(tmp_path: Path) -> None:
    environment = {name: text for name, text in os.environ.items() if name != VARIABLE}
    environment["XDG_CACHE_HOME"] = str(tmp_path)
    command = [sys.executable, "-c", MEASURE]
    run = subprocess.run(command, capture_output=True, text=True, check=True, env=environment)
    imported = {canonicalize_name(one["name"]) for one in json.loads(run.stdout) if one["imported"]} | {"latewood"}
    found = brought()
    assert {"litestar", "numpy", "uvicorn", "msgspec"} <= found.keys() & imported
    unused = {name for name, needed_by in found.items() if name not in imported and not needed_by & imported}
    assert unused - FILES_ONLY == WITH_LITESTAR | WITH_PINT
    # What is required by name is used by name.
    own = {name for name, needed_by in found.items() if "latewood" in needed_by}
    assert own - imported <= FILES_ONLY | LATER
