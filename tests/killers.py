"""A calculator that never ends, as a plugin that is installed nowhere, and what it is asked.

Which bundled calculator takes long changes, because each is bounded when it is found (`tests.faults.amplification`).
The first was `area`, with boards laid askew under a comb of 480 points: 99.8 s of a processor and 632 MB for 6.8 kB.
"""

from __future__ import annotations

import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Final

NAME: Final = "guest-endless"
#: What is asked where it must end.
SHORT: Final = {"outline": "0 0, 4 0, 4 3 m"}

_MODULE: Final = '''"""A plugin whose calculator never ends where it is told so."""

from typing import Annotated

import msgspec

from latewood.plugin import F, Q, calculator, hookimpl


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """An outline."""

    outline: Annotated[str, F("An outline", max_length=8000)]
    rounds: Annotated[int, F("How often it is gone round; 0 for without end", ge=0, le=9)] = 1


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """A length."""

    length: Annotated[float, Q("m", "Length of it")]


@calculator("guest-endless", "Endless", since="1.0", example={"outline": "0 0, 4 0, 4 3 m"})
def endless(x: Inputs, ledger: object, known: object) -> Result:
    """How long is it?"""
    while x.rounds == 0:
        pass
    return Result(length=float(len(x.outline)))


@hookimpl
def latewood_calculators():
    """Return the calculators."""
    return [endless]
'''


def plugin(folder: Path) -> Mapping[str, str]:
    """Write the plugin as if it were installed in a folder; return an environment in which it is."""
    (folder / "guest_endless.py").write_text(_MODULE)
    info = folder / "guest_endless-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: guest-endless\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text("[latewood]\nguest = guest_endless\n")
    path = os.pathsep.join(filter(None, (str(folder), os.environ.get("PYTHONPATH", ""))))
    return {**os.environ, "PYTHONPATH": path}


def killer() -> bytes:
    """Return the body of a request without end."""
    return json.dumps({"outline": "0 0, " * 300, "rounds": 0}).encode()
