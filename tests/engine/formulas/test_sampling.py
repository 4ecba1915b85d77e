"""Small samples, against SciPy and worked sizes."""

import pytest
from scipy import stats

from latewood.formulas import sampling


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 30, 999])
@pytest.mark.parametrize("probability", [0.75, 0.9, 0.95, 0.975, 0.999])
def test_student_against_scipy(freedom, probability):
    assert sampling.student_t(probability, freedom) == pytest.approx(stats.t.ppf(probability, freedom), rel=1e-9)


@pytest.mark.parametrize(
    ("deviation", "error", "readings"), [(1, 1, 6.6), (1.5, 1, 11.2), (2, 1, 17.8), (3, 1, 37.1), (2, 1.5, 9.1)]
)
def test_sample_sizes(deviation, error, readings):
    """n = (t·s/E)² with t for the n it gives; the next whole number that satisfies it."""
    n = sampling.readings_for(deviation, error)
    assert n >= (stats.t.ppf(0.975, n - 1) * deviation / error) ** 2
    assert n - 1 < (stats.t.ppf(0.975, n - 2) * deviation / error) ** 2
    assert n == pytest.approx(readings, abs=1)


def test_no_scatter_needs_two():
    assert sampling.readings_for(0.0, 1.0) == 2


def test_upper_bound_of_a_mean():
    """12, 13 and 14: s = 1, t = 2.920 for 95 % and two degrees of freedom, so 13 + 2.920/√3."""
    factor = sampling.student_t(0.95, 2) / 3**0.5
    assert sampling.upper_bound(mean=13, deviation=1, factor=factor) == pytest.approx(14.686, abs=0.001)
