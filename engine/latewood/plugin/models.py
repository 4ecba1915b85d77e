"""Models: named pieces of code that a record chooses by name, checked when the plugin is loaded."""

from __future__ import annotations

import inspect
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final, Protocol

from latewood.plugin.weather_models import CureClock, Dwell, Gates
from latewood.provenance import Number


class Spreading(Protocol):
    """How far a coating goes, from the tabulated rate and what is known of the face. All SI; arrays pass."""

    def __call__(self, *, rate: Number, coat: int, roughness: float) -> Number:
        """Return the spreading rate (1/m) of this coat.

        ``rate`` is the record's tabulated rate of the first coat (1/m), ``coat`` counts from 1, ``roughness`` is
        the mean scratch depth left on the face (m), 0 where it was not measured.
        """
        ...


#: model kind → the protocol a model of that kind must meet
KINDS: Final[Mapping[str, type]] = {"spreading": Spreading, "cure-clock": CureClock, "gates": Gates, "dwell": Dwell}


class BadModel(ValueError):
    """A model whose arguments are not those of its kind."""


@dataclass(frozen=True, slots=True)
class Model:
    """A named function of a declared kind, with the source of what it computes."""

    kind: str
    name: str
    function: Callable[..., Any]
    source: str
    title: str = ""

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise BadModel(f"model {self.name}: {self.kind!r} is not a kind of model; known are {', '.join(KINDS)}")
        want = inspect.signature(KINDS[self.kind].__call__).parameters
        wanted = [name for name in want if name != "self"]
        have = inspect.signature(self.function).parameters
        if inspect.iscoroutinefunction(self.function):
            raise BadModel(f"model {self.kind}/{self.name} is a coroutine; models are plain functions")
        if set(have) != set(wanted) or any(p.kind is p.POSITIONAL_ONLY for p in have.values()):
            raise BadModel(
                f"model {self.kind}/{self.name} takes ({', '.join(have)}); a {self.kind} model takes "
                f"({', '.join(wanted)}) by keyword"
            )
