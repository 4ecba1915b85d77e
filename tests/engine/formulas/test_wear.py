"""Wear of discs, held against a worked example and against numerical integration."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from tests.bundled import bundled

from latewood.formulas import wear
from latewood.quantities import units

EXAMPLE = {"steady": 0.4, "falling": 0.6, "wear_rate": 0.1 / 60}
SHARES = st.floats(0.05, 0.95)


def test_the_worked_example():
    """a = 0.4, b = 0.6, c = 0.1/min, changed at 60 %: 10 ln 3 = 10.986 min, 8.3944 min of new disc, mean 0.7641."""
    time = wear.disc_time(change_at=0.6, **EXAMPLE)
    assert time / 60 == pytest.approx(10.986, abs=5e-4)
    removed = wear.removed_until(time=time, **EXAMPLE)
    assert removed / 60 == pytest.approx(8.3944, abs=5e-5)
    assert wear.mean_cut(removed=removed, time=time) == pytest.approx(0.7641, abs=5e-5)


@pytest.mark.parametrize("change_at", [0.4, 0.39, 0.0])
def test_a_disc_that_never_gets_that_slow_lasts_for_ever(change_at):
    assert wear.disc_time(change_at=change_at, **EXAMPLE) == math.inf


def test_a_disc_changed_at_its_first_cut_lasts_no_time():
    assert wear.disc_time(change_at=1.0, **EXAMPLE) == 0.0


@given(SHARES, st.floats(1e-5, 0.1), SHARES)
def test_the_cut_at_the_change_is_the_share_asked_for(steady, rate, change_at):
    constants = {"steady": steady, "falling": 1 - steady, "wear_rate": rate}
    time = wear.disc_time(change_at=change_at, **constants)
    if math.isfinite(time):
        assert wear.cut_after(time=time, **constants) == pytest.approx(change_at)
        mean = wear.mean_cut(removed=wear.removed_until(time=time, **constants), time=time)
        assert change_at <= mean <= 1
    else:
        assert change_at <= steady * (1 + 1e-9)


def test_what_is_removed_is_the_integral_of_the_cut():
    """The stored cases integrated anew by SciPy, the library they name."""
    checks = bundled().shelf.records("check")["disc-removed-quad"].cases
    assert len(checks) == 3
    for case in checks:
        given_ = {
            name: units.read(text, wear.removed_until.arguments[name].dimension) for name, text in case.input.items()
        }
        time = given_.pop("time")
        found, _ = quad(lambda t, constants: wear.cut_after(time=t, **constants), 0, time, args=(given_,))
        assert found == pytest.approx(units.read(case.expected["result"], "time"), rel=1e-6)


def test_life_goes_with_area():
    """Pads of 125 and 150 mm: areas 122.7 and 176.7 cm2, ratio 1.44; 1 m2 on the small is 1.44 m2 on the large."""
    small, large = (wear.pad_area(diameter=d) for d in (0.125, 0.150))
    assert (small * 1e4, large * 1e4) == pytest.approx((122.7, 176.7), abs=0.05)
    assert wear.life_by_size(life=1.0, abrasive_area=large, reference_area=small) == pytest.approx(1.44)
    assert wear.discs_worn(area=10.0, effort=2.0, life=4.0) == pytest.approx(5.0)
