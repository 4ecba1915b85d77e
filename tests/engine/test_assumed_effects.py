"""What is said to be the effect of an assumption is what the whole calculator computes with another value."""

from __future__ import annotations

import pytest
from tests.bundled import bundled
from tests.truth.assumed import Assumed, effects


@pytest.fixture(scope="module")
def found() -> list[Assumed]:
    return list(effects(bundled()))


def test_every_effect_that_is_said_is_the_one_computed_again(found: list[Assumed]) -> None:
    assert not [one for one in found if not one.holds]


def test_the_examples_assume_much_that_matters(found: list[Assumed]) -> None:
    said = {(one.calculator, one.field) for one in found if one.said is not None}
    assert {("preparation", "wetted_depth"), ("preparation", "temperature"), ("coverage", "surface")} <= said
    assert len({calculator for calculator, _ in said}) >= 8


def test_a_wrong_effect_is_seen() -> None:
    told = Assumed("x", "preparation", "wetted_depth", "drying", said=0.67, true=0.94)
    assert not told.holds
    assert not Assumed("x", "preparation", "wetted_depth", "drying", said=None, true=0.2).holds
