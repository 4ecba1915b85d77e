"""Every number of one answer of each calculator, worked by hand."""

from __future__ import annotations

import importlib
import pkgutil
from dataclasses import replace
from typing import Any, Final

import numpy as np
import pytest
from tests.engine import by_hand
from tests.engine.by_hand.case import Case, declared_numbers

import latewood
from latewood.catalogue import Catalogue

#: Calculators that have no case yet.
WITHOUT: Final = {"abrasive-sequence", "preparation"}

MODULES = [
    found.name for found in pkgutil.iter_modules(by_hand.__path__) if not found.name.startswith(("test_", "case"))
]
CASES: dict[str, Case] = {
    (case := importlib.import_module(f"tests.engine.by_hand.{name}").CASE).calculator: case for name in MODULES
}
each = pytest.mark.parametrize("case", CASES.values(), ids=list(CASES))


@each
def test_every_number_is_the_one_worked_by_hand(case: Case, lw: Catalogue) -> None:
    found = case.found(lw)
    wrong = case.wrong({path: number for path, _, number in found})
    assert not wrong, "\n".join(wrong)
    # What a calculator may answer and this case does not is named, each with the reason.
    reached = {declared for _, declared, _ in found}
    assert set(declared_numbers(lw.calculator(case.calculator))) - reached == set(case.absent)


@each
def test_a_number_that_is_forgotten_or_wrong_fails(case: Case, lw: Catalogue) -> None:
    """Every line in its turn: without it, and with a number a percent off, ten where it is sampled, or one count."""
    found = {path: number for path, _, number in case.found(lw)}
    for path, expected in case.numbers.items():
        rest = {name: number for name, number in case.numbers.items() if name != path}
        assert replace(case, numbers=rest).wrong(found) == [f"{path} has no line in the case"]
        share = 0.1 if isinstance(expected, np.ndarray) else 0.01
        assert case.wrong({**found, path: off(found[path], share)}), path


def off(number: Any, share: float) -> Any:
    """Return a number that is wrong by a share, and by one where it is nothing or a count; a text is another."""
    if isinstance(number, tuple):
        return tuple(off(end, share) for end in number)
    if isinstance(number, float):
        return number * (1 + share) or 1.0
    return number + 1 if isinstance(number, int) else f"{number}, more or less"


def test_every_calculator_has_its_case() -> None:
    calculators = set(latewood.load().calculators)
    assert set(CASES) == calculators - WITHOUT
    assert calculators >= WITHOUT
