"""Uncertain quantities with one unknown, quantiles and totals, against SciPy's distributions."""

import itertools
import math

import numpy as np
import pytest
from scipy import stats

from latewood.uncertainty import spread
from latewood.uncertainty.scores import Z90
from latewood.uncertainty.spread import Uncertain, from_range, lognormal, maximum, minimum, normal, total

OUTERMOST = 0.5 / 2048
ANSWERED = (0.1, 0.5, 0.9)
PROBABILITIES = [OUTERMOST, 0.001, 0.01, 0.05, 0.1, 0.2, 0.31, 0.5, 0.64, 0.8, 0.9, 0.95, 0.99, 0.999, 1 - OUTERMOST]


def one_unknown(p10: float = 20.0, p50: float = 40.0, p90: float = 60.0, path: str = "rate/sand") -> Uncertain:
    return lognormal(path, p10, p50, p90)


@pytest.mark.parametrize("p", PROBABILITIES)
def test_symmetric_lognormal_has_scipys_quantiles_and_tail(p: float) -> None:
    sigma = 0.5
    reference = stats.lognorm(sigma, scale=30)  # SciPy's lognormal; closed form, so equal to rounding
    x = lognormal("a", float(reference.ppf(0.1)), 30.0, float(reference.ppf(0.9)))
    assert x.quantile(p) == pytest.approx(reference.ppf(p), rel=1e-12)
    assert x.exceedance(float(reference.ppf(p))) == pytest.approx(1 - p, abs=1e-9 if p < 1 - OUTERMOST else OUTERMOST)


@pytest.mark.parametrize("p", PROBABILITIES)
def test_each_half_of_a_split_lognormal_is_scipys_lognormal(p: float) -> None:
    half = stats.lognorm(math.log(40 / 20 if p < 0.5 else 60 / 40) / Z90, scale=40)
    assert one_unknown().quantile(p) == pytest.approx(half.ppf(p), rel=1e-12)


@pytest.mark.parametrize("p", PROBABILITIES)
def test_split_normal_is_scipys_normal_in_each_half_and_stops_at_its_bounds(p: float) -> None:
    x = normal("site/moisture", 10, 14, 22, lowest=5, highest=28)
    half = stats.norm(14, (4 if p < 0.5 else 8) / Z90)
    # 2e-3: interpolation is on logarithms between scores up to 0.3 apart in the outermost steps.
    assert x.quantile(p) == pytest.approx(min(max(half.ppf(p), 5), 28), abs=2e-3)


def test_a_clipped_normal_has_its_tail_probability_on_the_bound() -> None:
    x = normal("site/moisture", 10, 14, 22, lowest=5, highest=28)
    below, above = stats.norm(14, 4 / Z90).cdf(5), stats.norm(14, 8 / Z90).sf(28)
    assert x.exceedance(28) == 0
    assert x.exceedance(4.999) == 1
    # One step of probability, 1/2048, is lost where the bound falls between two scores.
    assert x.exceedance(28 - 1e-9) == pytest.approx(above, abs=1 / 2048)
    assert x.exceedance(5) == pytest.approx(1 - below, abs=1 / 2048)


def test_temperatures_may_be_negative() -> None:
    x = normal("site/temperature", -6, -1, 4)
    assert (x.low, x.value, x.high) == (-6, -1, 4)
    # A difference of two independent normals is normal: N(0-0, 5 (root 2)/z). Bound: see the binomial one below.
    gap = x - normal("surface/temperature", -6, -1, 4)
    reference = stats.norm(0, 5 * math.sqrt(2) / Z90)
    assert isinstance(gap, Uncertain)
    for p in (0.1, 0.5, 0.9):
        assert reference.cdf(gap.quantile(p)) == pytest.approx(p, abs=0.03)


@pytest.mark.parametrize(
    ("operation", "expected"),
    [
        (lambda x: x, (20, 40, 60)),
        (lambda x: 3 * x, (60, 120, 180)),
        (lambda x: x / 4, (5, 10, 15)),
        (lambda x: x / -4, (-15, -10, -5)),
        (lambda x: -x, (-60, -40, -20)),
        (lambda x: x * -0.5, (-30, -20, -10)),
        (lambda x: 100 - x, (40, 60, 80)),
        (lambda x: x - 30, (-10, 10, 30)),
        (lambda x: 5 + x, (25, 45, 65)),
        (lambda x: sum([x, x]), (40, 80, 120)),
        (lambda x: 120 / x, (2, 3, 6)),
        (lambda x: -120 / x, (-6, -3, -2)),
        (lambda x: x**2, (400, 1600, 3600)),
        (lambda x: x**-1, (1 / 60, 1 / 40, 1 / 20)),
        (lambda x: x * x + 2 * x, (440, 1680, 3720)),
        (lambda x: 0 * x, (0, 0, 0)),
        (lambda x: maximum(x, 30), (30, 40, 60)),
        (lambda x: minimum(50, x), (20, 40, 50)),
    ],
)
def test_quantiles_of_a_monotone_formula_are_the_formula_of_the_quantiles(operation, expected) -> None:
    # Equivariance of quantiles under monotone maps (Serfling 1980, Approximation theorems of mathematical statistics).
    result = operation(one_unknown())
    assert result.trend != 0
    assert (result.low, result.value, result.high) == expected


def test_the_score_of_p90_is_scipys() -> None:
    assert stats.norm.ppf(0.9) == pytest.approx(Z90, rel=1e-15)


def test_scaled_and_reciprocal_lognormals_stay_lognormal() -> None:
    # Aitchison and Brown 1957, The lognormal distribution, theorem 2.1 (number recalled): a·X^b is
    # lognormal, with |b|·sigma.
    x = lognormal("a", 10.0, 20.0, 40.0)
    for factor, power in ((7.5, 1), (3, -1), (0.2, 2.5), (1, -0.5)):
        result = factor * x**power
        reference = stats.lognorm(abs(power) * math.log(2) / Z90, scale=factor * 20**power)
        for p in PROBABILITIES:
            assert result.quantile(p) == pytest.approx(reference.ppf(p), rel=1e-10)


@pytest.mark.parametrize(
    ("triple", "sigma", "centre"),
    [((5, 10, 15), 0.4286, 8.660), ((14, 25, 40), 0.4096, 23.664), ((20, 40, 60), 0.4286, 34.641)],
)
def test_a_range_read_as_p10_to_p90(triple: tuple[float, float, float], sigma: float, centre: float) -> None:
    # Worked with sigma = ln(P90/P10)/(2·1.28155) and the geometric mean; the mean/median ratio exp(sigma²/2) is in
    # Johnson, Kotz and Balakrishnan 1994, Continuous univariate distributions 1, chapter 14.
    low, _, high = triple
    x = from_range("rate/wash", low, high)
    assert (x.low, x.high) == (low, high)
    assert x.value == pytest.approx(centre, abs=5e-4)
    assert math.log(x.quantile(stats.norm.cdf(1)) / x.value) == pytest.approx(sigma, abs=5e-5)
    # The draws stop at one chance in 4096, which costs the mean less than one part in a thousand.
    assert x.values[3:].mean() / x.value == pytest.approx(math.exp(sigma**2 / 2), rel=1e-3)


def test_a_stated_p50_is_kept_apart_from_the_geometric_mean() -> None:
    assert lognormal("rate/wash", 5, 10, 15).value == 10
    assert from_range("rate/wash", 5, 15).value == pytest.approx(math.sqrt(75))


MIXTURES = {
    "one": one_unknown(),
    "falling": 100 / one_unknown(),
    "negative": -one_unknown(),
    "crossing zero": one_unknown() - 40,
    "not monotone": one_unknown() + 900 / one_unknown(),
    "several": one_unknown() + lognormal("b", 5, 10, 15) / lognormal("c", 1, 2, 3),
    "temperature": normal("t", -3, 5, 9),
}


@pytest.mark.parametrize("x", MIXTURES.values(), ids=MIXTURES.keys())
def test_exceedance_is_the_inverse_of_quantile(x: Uncertain) -> None:
    for p in (0.0005, 0.01, 0.1, 0.33, 0.5, 0.77, 0.9, 0.99, 0.9995):
        assert x.exceedance(x.quantile(p)) == pytest.approx(1 - p, abs=1e-9)
    quantiles = [x.quantile(p) for p in np.linspace(0.0001, 0.9999, 301)]
    assert all(a <= b for a, b in itertools.pairwise(quantiles))


def test_beyond_the_outermost_scores_nothing_is_claimed() -> None:
    for x in MIXTURES.values():
        assert x.quantile(1e-9) == x.values[3:].min()
        assert x.quantile(1 - 1e-9) == x.values[3:].max()
        assert x.exceedance(x.quantile(1e-9) - 1) == 1
        assert x.exceedance(x.quantile(1 - 1e-9)) == 0
        assert x.exceedance(math.inf) == 0


def test_shortage_risk_of_a_purchase() -> None:
    # 24.18 m2 at 4.9 to 9.8 m2/L read as P10 to P90: the demand's P90 is 24.18/4.9 by hand, and buying it leaves one
    # chance in ten to run short.
    demand = 24.18 / from_range("coating/oil/spreading", 4.9, 9.8)
    assert demand.quantile(0.9) == pytest.approx(24.18 / 4.9)
    assert demand.exceedance(24.18 / 4.9) == pytest.approx(0.1)
    assert demand.exceedance(24.18 / 9.8) == pytest.approx(0.9)


@pytest.mark.parametrize("p", [0, 1, -0.1, 1.5, math.nan])
def test_a_quantile_needs_a_probability(p: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        one_unknown().quantile(p)


def test_totals_of_certain_and_uncertain_parts() -> None:
    x = one_unknown()
    assert total([]) == 0
    assert total([0.1] * 10) == 1.0
    summed = total([1.5, x, 2.5, x])
    assert (spread.low(summed), spread.value(summed), spread.high(summed)) == (44, 84, 124)
    assert spread.central(total([x, lognormal("b", 1, 2, 9)])) == 42


def test_parts_that_do_not_add_are_told_with_the_gap() -> None:
    skewed = [lognormal(f"part/{i}", 1, 2, 9) for i in range(5)]
    whole = total(skewed)
    gap = spread.parts_do_not_add(skewed, whole)
    # The median of a sum of right-skewed parts lies above the sum of their medians.
    assert gap is not None
    assert gap == pytest.approx(10 / spread.value(whole) - 1)
    assert gap < -0.2
    assert spread.parts_do_not_add([one_unknown(), 5.0], one_unknown() + 5.0) is None
    assert spread.parts_do_not_add([1.0, 2.0], 3.02) is None
    assert spread.parts_do_not_add([1.0, 2.0], 2.9) == pytest.approx(0.1 / 2.9)
    assert spread.parts_do_not_add([1.0, -1.0], 0.0) is None
    assert spread.parts_do_not_add([1.0, 1.0], 0.0) == 1


def test_a_point_gets_no_spread() -> None:
    assert type(spread.exact(12)) is float
    for read in (spread.low, spread.value, spread.high, spread.central):
        assert read(12.5) == 12.5
    assert spread.quantile(12.5, 0.2) == 12.5
    assert (spread.exceedance(12.5, 12.5), spread.exceedance(12.5, 12.4)) == (0, 1)
    assert maximum(2, 3) == 3
    assert minimum(2, 3) == 2


def test_it_prints_its_quantiles_and_unknowns() -> None:
    text = repr(100 / one_unknown(20, 40, 80))
    assert text == "<Uncertain 2.5 [1.25, 5] of rate/sand>"


def test_an_unknown_without_width_is_allowed() -> None:
    x = lognormal("a", 7, 7, 7)
    assert (x.low, x.value, x.high, x.quantile(0.77)) == (7, 7, 7, 7)
    assert (x.exceedance(6.999), x.exceedance(7)) == (1, 0)
    assert (2 * from_range("b", 3.3, 3.3)).high == 6.6
    assert set(normal("c", 0, 0, 0).values) == {0.0}
