"""How a piece of the science is declared: its symbols, its source and the range it holds in."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from latewood.quantities.spellings import dimension_of


@dataclass(frozen=True, slots=True)
class Symbol:
    """What a formula's argument is called on paper, and the unit it is printed in."""

    symbol: str
    unit: str
    dimension: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "dimension", self.dimension or dimension_of(self.unit))


@dataclass(frozen=True)
class Formula:
    """A piece of the science: a pure function of SI numbers, with its symbols, source and range."""

    id: str
    words: str
    symbols: str
    source: str
    where: str
    holds: str
    function: Callable[..., Any]
    arguments: Mapping[str, Symbol]
    result: Symbol

    def __call__(self, **numbers: Any) -> Any:
        """Compute; floats, NumPy arrays and uncertain quantities all pass."""
        return self.function(**numbers)


def formula(*, symbols: str, source: str, where: str = "", holds: str = "") -> Callable[[Callable[..., Any]], Formula]:
    """Declare a formula; each argument and the result is ``Annotated[Number, Symbol(…)]``."""

    def wrap(function: Callable[..., Any]) -> Formula:
        found: dict[str, Symbol] = {}
        for name, hint in typing.get_type_hints(function, include_extras=True).items():
            marks = [m for m in getattr(hint, "__metadata__", ()) if isinstance(m, Symbol)]
            if len(marks) != 1:
                raise TypeError(f"formula {function.__name__}: {name} has no Symbol")
            found[name] = marks[0]
        result = found.pop("return")
        words = (inspect.getdoc(function) or "").split("\n")[0]
        name = function.__name__.replace("_", "-")
        return Formula(name, words, symbols, source, where, holds, function, found, result)

    return wrap
