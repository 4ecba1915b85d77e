"""A case worked by hand: what is asked, and every number of the answer."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, Final

import msgspec
import numpy as np
import pytest

from latewood.catalogue import Catalogue
from latewood.declare import Calculator, Packs, Q
from latewood.messages import Clause
from latewood.quantities.money import Money
from latewood.wire.structs import unwrap

#: Answers carry nine significant digits: half a unit of the ninth is at most 5e-9 of the value.
WRITTEN: Final = 6e-9
#: What the engine promises of quantiles of several unknowns together (`Uncertain.quantile`): how far off the share of
#: cases below a P10, a median and a P90 may be.
SAMPLED: Final = {0.1: 0.02, 0.5: 0.03, 0.9: 0.02}
#: The same of any other quantile between those ends.
BETWEEN: Final = 0.03
#: Normal score that nine in ten stay below, from a table of the normal distribution.
Z90: Final = 1.2815515655446004

#: What is a number of the answer though it is written as a text.
WRITTEN_AS_TEXT = (date, datetime, Packs, Decimal)


def scores(seed: int) -> np.ndarray:
    """Draw a million normal scores; a quantile found from them is within 0.2 % by itself."""
    return np.random.default_rng(seed).standard_normal(1_000_000)


def draws(seed: int, low: float, median: float, high: float) -> np.ndarray:
    """Draw from two half lognormals that meet at the median, with this P10, P50 and P90."""
    z = scores(seed)
    made: np.ndarray = median * np.exp(z / Z90 * np.where(z < 0, np.log(median / low), np.log(high / median)))
    return made


def between(low: float, high: float) -> tuple[float, float, float]:
    """Read a range as every record's is read: its ends as P10 and P90, its geometric mean as the median."""
    return low, float(np.sqrt(low * high)), high


@dataclass(frozen=True)
class Case:
    """One request, and each number of its answer by its path, such as ``"zones.main.time h"``.

    A path names the member of a list by its id, or by its place where it has none; a quantity's unit stands behind
    its path. An uncertain quantity is its P10, P50 and P90; of several unknowns together, a million draws of them.
    ``absent`` says why a declared number is not in the answer.
    """

    calculator: str
    inputs: Mapping[str, Any]
    numbers: Mapping[str, Any]
    absent: Mapping[str, str] = field(default_factory=dict)

    def found(self, engine: Catalogue) -> list[tuple[str, str, Any]]:
        """Return each number of the answer: its path, the path it is declared under, and the number."""
        result = engine.calculate(self.calculator, **self.inputs)["result"]
        return list(numbers(engine.calculator(self.calculator).result, result))

    def wrong(self, found: Mapping[str, Any]) -> list[str]:
        """Return where a number of the answer is not named, is named and not there, or is another."""
        return [
            *(f"{path} has no line in the case" for path in found if path not in self.numbers),
            *(f"{path} is not in the answer" for path in self.numbers if path not in found),
            *(
                f"{path}: {found[path]!r}, by hand {shown(expected)!r}"
                for path, expected in self.numbers.items()
                if path in found and not same(found[path], expected)
            ),
        ]


@dataclass(frozen=True)
class Quantile:
    """One quantile of draws, where only that is an end of something; ``whole`` where it is rounded up to pieces."""

    drawn: np.ndarray
    share: float
    whole: bool = False

    def __repr__(self) -> str:
        """Show the numbers that it may be."""
        return f"{self._at(-1):g} to {self._at(1):g}"

    def holds(self, number: float) -> bool:
        """Say whether a number is the quantile, as far off as the engine promises at most."""
        allowed = SAMPLED.get(self.share, BETWEEN) + 1e-9
        below = float(np.mean(self.drawn < number))
        if not self.whole:
            return abs(below - self.share) <= allowed
        return below >= self.share - allowed and float(np.mean(self.drawn < number - 1)) <= self.share + allowed

    def _at(self, side: int) -> float:
        found = float(np.quantile(self.drawn, self.share + side * SAMPLED.get(self.share, BETWEEN)))
        return float(np.ceil(found)) if self.whole else found


def same(found: Any, expected: Any) -> bool:
    """Say whether a number is the expected one: counts, dates and texts exactly, else to the digits written."""
    if isinstance(expected, np.ndarray):
        expected = tuple(Quantile(expected, share) for share in SAMPLED)
    if isinstance(expected, Quantile):
        return isinstance(found, int if expected.whole else float) and expected.holds(found)
    if isinstance(found, tuple) or isinstance(expected, tuple):
        return (
            isinstance(found, tuple)
            and isinstance(expected, tuple)
            and len(found) == len(expected)
            and all(map(same, found, expected))
        )
    if isinstance(expected, float) and isinstance(found, float):
        return bool(found == pytest.approx(expected, rel=WRITTEN, abs=1e-12))
    return bool(found == expected)


def shown(expected: Any) -> Any:
    """Return draws as their P10, P50 and P90."""
    return tuple(Quantile(expected, share) for share in SAMPLED) if isinstance(expected, np.ndarray) else expected


def numbers(
    struct: type[Any], written: Mapping[str, Any], at: str = "", declared: str = ""
) -> Iterator[tuple[str, str, Any]]:
    """Yield each number of a written answer: its path with its unit, its declared path, and the number."""
    for name, hint in fields(struct):
        if name in written:
            yield from _numbers(hint, written[name], f"{at}{name}", f"{declared}{name}")


def _numbers(hint: Any, written: Any, at: str, declared: str) -> Iterator[tuple[str, str, Any]]:
    bare, mark = unwrap(hint)
    if typing.get_origin(bare) is tuple:
        item = typing.get_args(bare)[0]
        for place, one in enumerate(written):
            name = one["id"] if isinstance(one, dict) and "id" in one else place
            yield from _numbers(item, one, f"{at}.{name}", f"{declared}.*")
    elif is_struct(bare):
        yield from numbers(bare, written, f"{at}.", f"{declared}.")
    elif isinstance(mark, Q):
        value = (written["low"], written["value"], written["high"]) if "low" in written else written["value"]
        yield f"{at} {written['unit']}", declared, value
    elif is_number(bare):
        yield at, declared, written


def declared_numbers(calculator: Calculator) -> Iterator[str]:
    """Yield the path of every number a calculator declares, ``*`` for each member of a list."""
    yield from _declared(calculator.result, "")


def _declared(struct: type[Any], at: str) -> Iterator[str]:
    for name, hint in fields(struct):
        path = f"{at}{name}"
        bare, mark = unwrap(hint)
        while typing.get_origin(bare) is tuple:
            path, (bare, mark) = f"{path}.*", unwrap(typing.get_args(bare)[0])
        if is_struct(bare):
            yield from _declared(bare, f"{path}.")
        elif isinstance(mark, Q) or is_number(bare):
            yield path


def fields(struct: type[Any]) -> Iterator[tuple[str, Any]]:
    """Yield name and annotation of each field of a struct."""
    hints = typing.get_type_hints(struct, include_extras=True)
    for one in msgspec.structs.fields(struct):
        yield one.name, hints[one.name]


def is_struct(bare: Any) -> bool:
    """Say whether a field is written as an object with fields of its own."""
    return (
        isinstance(bare, type)
        and issubclass(bare, msgspec.Struct)
        and not hasattr(bare, "KIND")
        and bare not in (Money, Clause)
    )


def is_number(bare: Any) -> bool:
    """Say whether a field without a unit is a number: a count, a day, money, containers in one line."""
    return isinstance(bare, type) and bare is not bool and issubclass(bare, (int, float, Money, *WRITTEN_AS_TEXT))
