"""A calculator that never ends, as a plugin that is installed nowhere, and what it is asked.

Which bundled calculator takes long changes, because each is bounded when it is found (`tests.faults.amplification`).
The first was `area`, with boards laid askew under a comb of 480 points: 99.8 s of a processor and 632 MB for 6.8 kB.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Final

from tests.guests import environment, install, oil

NAME: Final = "guest-endless"
#: What is asked where it must end.
SHORT: Final = {"outline": "0 0, 4 0, 4 3 m"}

_MODULE: Final = '''"""A plugin whose calculator never ends where it is told so, nor its oil on rough boards."""

from typing import Annotated

import msgspec

from latewood.plugin import F, Model, Q, calculator, hookimpl, read_record


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


def rate_of(*, rate, coat, roughness):
    """Return the rate, unless it is the one of rough boards."""
    while getattr(rate, "value", 1e9) < 1000:
        pass
    return rate


@hookimpl
def latewood_calculators():
    """Return the calculators."""
    return [endless]


@hookimpl
def latewood_models():
    """Return the models."""
    return [Model("spreading", "guest-endless", rate_of, source="judgement")]


@hookimpl
def latewood_records():
    """Return the records."""
    return [read_record(OIL, "guest")]
'''
#: Its rate on rough boards is what the model above never answers.
_OIL: Final = """
models = { spreading = "guest-endless" }
coats = { value = 1, source = "judgement", kind = "judgement" }
[spreading.sanded]
medium = { value = "10 m2/L", source = "judgement", kind = "judgement" }
[spreading.rough-sawn.medium]
low = "0.4 m2/L"
high = "0.6 m2/L"
spread = "p10-p90"
source = "judgement"
kind = "judgement"
"""


def plugin(folder: Path) -> Mapping[str, str]:
    """Install the plugin in a folder; return an environment in which it is."""
    install(folder, "guest", f'{_MODULE}\n\nOIL = """{oil(_OIL)}"""\n')
    return environment(folder)


def killer() -> bytes:
    """Return the body of a request without end."""
    return json.dumps({"outline": "0 0, " * 300, "rounds": 0}).encode()
