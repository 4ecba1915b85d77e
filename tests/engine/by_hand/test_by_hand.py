"""Every number of one answer of each calculator, worked by hand."""

from __future__ import annotations

import importlib
import pkgutil
from typing import Final

import pytest
from tests.engine import by_hand
from tests.engine.by_hand.case import Case

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
    case.hold(lw)


@each
def test_what_a_case_does_not_reach_is_said(case: Case, lw: Catalogue) -> None:
    unreached, said = case.unreached(lw)
    assert unreached == said


def test_every_calculator_has_its_case() -> None:
    calculators = set(latewood.load().calculators)
    assert set(CASES) == calculators - WITHOUT
    assert calculators >= WITHOUT


def test_a_number_that_is_left_out_or_wrong_fails(lw: Catalogue) -> None:
    """Each line of a case in turn: left out, or a thousandth off."""
    case = CASES["movement"]
    for path in case.numbers:
        rest = {name: number for name, number in case.numbers.items() if name != path}
        with pytest.raises(AssertionError, match="has its line"):
            Case(case.calculator, case.inputs, rest).hold(lw)
        with pytest.raises(AssertionError, match="by hand"):
            Case(case.calculator, case.inputs, {**rest, path: 1.001 * case.numbers[path]}).hold(lw)
