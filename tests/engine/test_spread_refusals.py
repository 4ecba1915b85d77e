"""What an uncertain quantity refuses, and with which words."""

import copy
import math
import pickle

import numpy as np
import pytest

from latewood.uncertainty import spread
from latewood.uncertainty.scores import path_scores
from latewood.uncertainty.spread import Uncertain, from_range, lognormal, normal


def one_unknown(p10: float = 20.0, p50: float = 40.0, p90: float = 60.0, path: str = "rate/sand") -> Uncertain:
    return lognormal(path, p10, p50, p90)


@pytest.mark.parametrize(
    "misuse",
    [
        lambda x: x > 3,
        lambda x: x <= x,
        lambda x: x == 3,
        lambda x: x != x,
        lambda x: np.float64(3) >= x,
        lambda x: max(x, 3),
        lambda x: x or 0,
        float,
        int,
        round,
        math.sqrt,
        math.ceil,
    ],
)
def test_a_comparison_is_refused_with_the_remedy(misuse) -> None:
    with pytest.raises(TypeError, match=r"not one number: take its \.low, \.value, \.high"):
        misuse(one_unknown())


@pytest.mark.parametrize(
    "misuse",
    [
        hash,
        np.sqrt,
        lambda x: np.ones(2) * x,
        lambda x: x + "1",
        lambda x: x - None,
        lambda x: x * [1],
        lambda x: x / None,
        lambda x: "1" / x,
        lambda x: 2**x,
        lambda x: x**x,
    ],
)
def test_what_has_no_meaning_is_a_type_error(misuse) -> None:
    with pytest.raises(TypeError):
        misuse(one_unknown())


def test_numpy_scalars_are_numbers() -> None:
    x = one_unknown()
    for three in (np.float64(3), np.float32(3), np.int64(3)):
        assert (three * x).value == (x * three).value == 120
        assert (three - x).value == -37
        assert (three / x).value == 3 / 40


def test_it_cannot_be_changed() -> None:
    x = one_unknown()
    with pytest.raises(AttributeError):
        x.trend = 0  # type: ignore[misc]  # the point of the test
    with pytest.raises(ValueError, match="read-only"):
        x.values[0] = 1
    with pytest.raises(ValueError, match="read-only"):
        path_scores("rate/sand")[0] = 1


def test_it_survives_a_copy() -> None:
    x = one_unknown() + 1
    for twin in (copy.deepcopy(x), pickle.loads(pickle.dumps(x))):
        assert np.array_equal(twin.values, x.values)
        assert (twin.paths, twin.trend, twin.values.flags.writeable) == (x.paths, x.trend, False)


@pytest.mark.parametrize(
    ("make", "text"),
    [
        (lambda: lognormal("rate/a", 0, 1, 2), "rate/a: a lognormal quantity is positive"),
        (lambda: lognormal("rate/a", 3, 2, 4), "rate/a: P10, P50 and P90 must not fall"),
        (lambda: lognormal("rate/a", 1, 5, 4), "must not fall"),
        (lambda: lognormal("rate/a", 1, math.nan, 4), "must be finite"),
        (lambda: normal("t", 1, 2, math.inf), "must be finite"),
        (lambda: normal("t", -1, 2, 5, lowest=0), "within the bounds 0 to inf"),
        (lambda: normal("t", 1, 2, 5, highest=4), "within the bounds -inf to 4"),
        (lambda: normal("t", 1, 2, 5, lowest=math.nan), "within the bounds"),
        (lambda: from_range("r", -1, 2), "geometric mean only if it is positive"),
        (lambda: from_range("r", 400, 200), "must not fall"),
        (lambda: lognormal("", 1, 2, 3), "needs a path"),
        (lambda: spread.exact(math.inf), "must be finite"),
        (lambda: one_unknown() * math.nan, "must be finite"),
        (lambda: (one_unknown() - 40) ** 0.5, "not a real number"),
        (lambda: one_unknown().exceedance(math.nan), "threshold"),
        (lambda: Uncertain(np.zeros(3), frozenset("a"), 1), "holds 2051 values"),
        (lambda: Uncertain(np.zeros(2051), frozenset("ab"), 1), "trend 1 cannot be said"),
        (lambda: Uncertain(np.zeros(2051), frozenset(), 0), "trend 0 cannot be said"),
    ],
)
def test_bad_input_is_refused_with_a_clear_text(make, text: str) -> None:
    with pytest.raises(ValueError, match=text):
        make()


def test_division_by_what_can_be_zero_names_the_unknown() -> None:
    moisture = normal("site/moisture", 1, 3, 6, lowest=0)
    for divide in (lambda: 1 / moisture, lambda: moisture / moisture, lambda: moisture**-1, lambda: moisture / 0):
        with pytest.raises(ZeroDivisionError, match="site/moisture"):
            divide()


def test_overflow_names_the_unknowns_and_never_gives_infinity() -> None:
    huge = lognormal("a", 1e200, 2e200, 3e200)
    for compute in (lambda: huge * huge, lambda: huge**2, lambda: huge * 1e200, lambda: huge / 1e-200):
        with pytest.raises(OverflowError, match="not finite for some values of a"):
            compute()
    with pytest.raises(OverflowError, match="of wide"):
        lognormal("wide", 1e-200, 1, 1e200)
