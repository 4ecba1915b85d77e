"""By how much would another value of an assumption move a number? It is computed again with it, at medians."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from contextlib import suppress
from typing import Any, Final, TypeAlias

from latewood.problems import InputProblem
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Effect of what matters and takes too long to compute again: more than 5 ms of one processor for one other value.
UNWEIGHED: Final = math.inf
#: Stands for the value that was assumed.
HERE: Final = object()

#: Field, output and another value → the output with it; None where it has none.
Again: TypeAlias = Callable[[str, str, Any], Number | None]


def change(of: Callable[[Any], Number | None], here: Any, others: Iterable[Any]) -> float:
    """Return the largest relative change of a number that any other value brings, leaving out what is refused.

    `UNWEIGHED` where there is no number with one of them, or none to compare with.
    """
    base, most = _central(of(here)), 0.0
    if base == 0 or not math.isfinite(base):
        return UNWEIGHED
    for other in others:
        with suppress(InputProblem):
            most = max(most, abs(_central(of(other)) / base - 1))
    return most


def _central(number: Number | None) -> float:
    return math.inf if number is None else spread.central(number)
