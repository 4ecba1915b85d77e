"""Whether a formula rises or falls with its unknown, against brute force."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from latewood.uncertainty.spread import Uncertain, lognormal, maximum, minimum

Z90 = stats.norm.ppf(0.9)
OUTERMOST = 0.5 / 2048


def one_unknown(p10: float = 20.0, p50: float = 40.0, p90: float = 60.0, path: str = "rate/sand") -> Uncertain:
    return lognormal(path, p10, p50, p90)


LEAVES = st.sampled_from(["x", "2 * x", "5 - x", "x - 40", "1 / x", "x ** 2", "x ** 0.5", "-x", "(x - 40) ** 3"])
FORMULAS = st.recursive(
    LEAVES,
    lambda inner: st.one_of(
        st.tuples(inner, st.sampled_from("+-*"), inner).map(lambda t: f"({t[0]}) {t[1]} ({t[2]})"),
        st.tuples(st.sampled_from(["maximum", "minimum"]), inner, inner).map(lambda t: f"{t[0]}({t[1]}, {t[2]})"),
        st.tuples(st.sampled_from(["-3 *", "0.25 *", "7 -", "0 *"]), inner).map(lambda t: f"{t[0]} ({t[1]})"),
    ),
    max_leaves=4,
)
GRID = (np.arange(20_000) + 0.5) / 20_000


@settings(max_examples=150, deadline=None, derandomize=True)
@given(formula=FORMULAS)
def test_a_known_trend_is_the_true_trend_and_quantiles_are_right(formula: str) -> None:
    names = {"maximum": maximum, "minimum": minimum}
    result = eval(formula, names, {"x": one_unknown()})
    z = stats.norm.ppf(GRID)
    x = 40 * np.exp(z * np.where(z < 0, math.log(2), math.log(1.5)) / Z90)
    brute = eval(formula, {"maximum": np.maximum, "minimum": np.minimum}, {"x": x}) + 0 * x
    # What happens beyond the outermost scores is not claimed.
    steps = np.diff(brute[(GRID > OUTERMOST) & (GRID < 1 - OUTERMOST)]) * result.trend
    slack = 1e-12 * np.abs(brute).max()  # rounding of the terms that cancel
    if result.trend:
        assert steps.min() >= -slack
    # Where the trend is unknown the draws are 2048 equal steps of probability: the answer lies between the brute
    # quantiles one step to either side.
    for p in (0.1, 0.37, 0.5, 0.9):
        lowest, highest = np.quantile(brute, (p - 1 / 2048, p + 1 / 2048))
        assert lowest - slack <= result.quantile(p) <= highest + slack


@pytest.mark.parametrize(
    ("formula", "trend"),
    [
        ("x", 1),
        ("-x", -1),
        ("1 / x", -1),
        ("-1 / x", 1),
        ("1 / (-x)", 1),
        ("x * x", 1),
        ("(-x) * x", -1),
        ("(-x) * (-x)", 1),
        ("x / (1 / x)", 1),
        ("x + 2 * x", 1),
        ("x - x", 0),
        ("x + 1 / x", 0),
        ("x / x", 0),
        ("(x - 40) * (x - 40)", 0),
        ("(x - 40) ** 2", 0),
        ("(x - 40) ** 3", 1),
        ("1 / (x - 40.1)", 0),
        ("x + y", 0),
        ("x * y", 0),
        ("maximum(x, 1 / x)", 0),
        ("minimum(x, x * x)", 1),
    ],
)
def test_trend_is_tracked_as_far_as_signs_tell(formula: str, trend: int) -> None:
    unknowns = {"x": one_unknown(), "y": one_unknown(path="other")}
    assert eval(formula, {"maximum": maximum, "minimum": minimum}, unknowns).trend == trend
