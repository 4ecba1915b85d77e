"""Every number of one answer of each calculator, worked by hand."""

from __future__ import annotations

import importlib
import math
import pkgutil
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from tests.bundled import bundled
from tests.engine import by_hand
from tests.engine.by_hand.case import Case, Quantile, declared_numbers

from latewood.catalogue import Catalogue

CASES = {
    found.name.replace("_", "-"): f"tests.engine.by_hand.{found.name}"
    for found in pkgutil.iter_modules(by_hand.__path__)
    if not found.name.startswith(("test_", "case"))
}
each = pytest.mark.parametrize("name", CASES)


def worked(name: str) -> Case:
    """Return a case, imported here: some of them solve equations for seconds."""
    found: Case = importlib.import_module(CASES[name]).CASE
    assert found.calculator == name
    return found


@each
def test_every_number_is_the_one_worked_by_hand(name: str, lw: Catalogue) -> None:
    case = worked(name)
    found = case.found(lw)
    wrong = case.wrong({path: number for path, _, number in found})
    assert not wrong, "\n".join(wrong)
    # What a calculator may answer and this case does not is named, each with the reason.
    reached = {declared for _, declared, _ in found}
    assert set(declared_numbers(lw.calculator(case.calculator))) - reached == set(case.absent)


@each
def test_a_number_that_is_forgotten_or_wrong_fails(name: str, lw: Catalogue) -> None:
    """Every line in its turn: without it, and with a number a percent off, ten where it is sampled, or one count.

    A sampled number that is rounded up may be off by half of it.
    """
    case = worked(name)
    found = {path: number for path, _, number in case.found(lw)}
    for path, expected in case.numbers.items():
        alone = replace(case, numbers={path: expected})
        assert replace(case, numbers={}).wrong({path: found[path]}) == [f"{path} has no line in the case"]
        sampled = isinstance(expected, np.ndarray | Quantile)
        share = 0.01 if not sampled else 0.5 if isinstance(expected, Quantile) and expected.whole else 0.1
        assert alone.wrong({path: off(found[path], share)}), path


def off(number: Any, share: float) -> Any:
    """Return a number that is wrong by a share, and by one where it is nothing or a count; a text is another."""
    if isinstance(number, tuple):
        return tuple(off(end, share) for end in number)
    if isinstance(number, float):
        return number * (1 + share) or 1.0
    return math.floor(number * (1 + share)) + 1 if isinstance(number, int) else f"{number}, more or less"


def test_every_calculator_has_its_case() -> None:
    assert set(CASES) == set(bundled().calculators)
