"""Depth to take off and depth a pass takes off, held against published erosion and sanding times."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import removal
from latewood.uncertainty import spread

UM = 1e-6


def test_depth_is_ridge_and_changed_wood_and_film():
    """After four years Douglas-fir has 165 um of ridge (Table 16-2); 100 to 200 um are changed: 0.27 to 0.37 mm."""
    ridge = removal.ridge_height(earlywood=270 * UM, latewood=105 * UM)
    depths = [removal.layer_depth(ridge=ridge, changed=g * UM, film=0.0) for g in (100, 200)]
    assert depths == pytest.approx([265 * UM, 365 * UM])


@pytest.mark.parametrize(
    ("earlywood", "latewood"),
    # Wood Handbook, FPL-GTR-190, Table 16-2, 4 and 8 years: Douglas-fir, southern pine, western redcedar, redwood.
    [(270, 105), (720, 210), (320, 135), (605, 275), (500, 200), (1090, 595), (405, 165), (650, 315)],
)
def test_four_to_eight_bare_years_need_a_third_to_two_thirds_of_a_millimetre(earlywood, latewood):
    ridge = removal.ridge_height(earlywood=earlywood * UM, latewood=latewood * UM)
    depth = removal.layer_depth(ridge=ridge, changed=150 * UM, film=0.0)
    assert 0.3e-3 <= depth <= 0.7e-3


def test_cut_follows_the_published_times():
    """Applied Sciences 2021, 11(6), 2860: 87, 150 and 188 s in softwood at P60, P120 and P180 (269, 125 and 82 um)."""
    cuts = removal.relative_cut(grain_size=np.array([269.0, 125.0, 82.0]), reference_size=269.0, exponent=0.68)
    assert cuts == pytest.approx(87 / np.array([87, 150, 188]), rel=0.04)


@given(st.floats(1e-5, 1e-3), st.floats(1e-5, 1e-3), st.floats(0.05, 1.5))
def test_the_exponent_is_found_again(a, b, exponent):
    if abs(np.log(a / b)) > 0.01:
        relative = removal.relative_cut(grain_size=a, reference_size=b, exponent=exponent)
        found = removal.cut_exponent(relative=relative, grain_size=a, reference_size=b)
        assert found == pytest.approx(exponent, rel=1e-6)


@given(st.floats(1e-5, 1e-3), st.floats(1e-5, 1e-3))
def test_a_coarser_grain_never_cuts_less(a, b):
    fine, coarse = sorted((a, b))
    cuts = [removal.relative_cut(grain_size=d, reference_size=2e-4, exponent=0.28) for d in (fine, coarse)]
    assert cuts[0] <= cuts[1]


def test_no_pressure_stands_in_the_cut():
    """More pressure never raises the modelled cut: there is nothing to put it into."""
    for formula in (removal.removal_per_pass, removal.machine_cut, removal.relative_cut):
        assert not {"pressure", "force"} & set(formula.arguments)


def test_denser_wood_is_changed_less_deep():
    """150 um at 500 kg/m3 are 75 um at 1000, and 250 um at 300."""
    depths = [removal.depth_at_density(depth=150 * UM, density=d, reference_density=500.0) for d in (300, 500, 1000)]
    assert depths == pytest.approx([250 * UM, 150 * UM, 75 * UM])


def test_passes_are_a_ratio_that_carries_what_is_not_known():
    per_pass = spread.lognormal("pass", 100 * UM, 200 * UM, 400 * UM)
    passes = removal.passes_needed(depth=300 * UM, per_pass=per_pass)
    assert [spread.low(passes), spread.value(passes), spread.high(passes)] == pytest.approx([0.75, 1.5, 3.0])


def test_removal_and_way_of_the_grain():
    """Half the orbit at the same speed, or half the speed at the same orbit, cut half as deep (Preston 1927)."""
    halves = [
        removal.machine_cut(orbit=o, reference_orbit=5e-3, speed=v, reference_speed=0.6)
        for o, v in ((2.5e-3, 0.6), (5e-3, 0.3))
    ]
    assert halves == pytest.approx([0.5, 0.5])
    assert removal.removal_per_pass(reference=200 * UM, cut=0.8, machine=0.5, wood=0.5) == pytest.approx(40 * UM)


def test_finer_grain_holds_less_and_lasts_less():
    """1 - 0.25 x 76 um x 8 m2/L / 2 = 0.924, by hand; life follows with a gain of 1 to 2."""
    uptake = removal.relative_uptake(
        grain_size=125 * UM, reference_size=201 * UM, scratch_share=0.25, spreading_rate=8e3
    )
    assert uptake == pytest.approx(0.924)
    assert [removal.relative_life(uptake=uptake, gain=a) for a in (1.0, 2.0)] == pytest.approx([0.924, 0.848])
