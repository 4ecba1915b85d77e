"""Mixing and rinsing, against worked examples of the US Centers for Disease Control (Appendix E) and by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import washing

positive = st.floats(1e-3, 1e3)


def test_a_liquid_is_diluted_as_the_appendix_does():
    """CDC, appendix E, examples 1 and 3: 3.5 % to 0.5 % takes 6 parts of water, 5 % to 0.1 % takes 49."""
    assert washing.parts_of_water(strength=5.0, stock_strength=35.0) == pytest.approx(6)
    assert washing.parts_of_water(strength=1.0, stock_strength=50.0) == pytest.approx(49)
    stock = washing.stock_volume(volume=7e-3, strength=5.0, stock_strength=35.0)
    assert stock == pytest.approx(1e-3)
    assert washing.dilution_water(volume=7e-3, stock_volume=stock) == pytest.approx(6e-3)


def test_a_powder_is_weighed_as_the_appendix_does():
    """CDC, appendix E, example 2: 0.5 % from a powder of 35 % takes 14.3 g a litre (5/0.35 = 14.286)."""
    mass = washing.active_mass(volume=1e-3, strength=5.0)
    assert washing.product_mass(mass=mass, active=0.35) * 1e3 == pytest.approx(14.3, abs=0.05)


def test_a_share_by_weight_is_no_weight_in_a_litre():
    """Hand-worked: 5.25 % by weight at 1.07 kg/L is 56.2 g/L, not 52.5."""
    assert washing.strength_of_liquid(active=0.0525, density=1070.0) == pytest.approx(56.175)


def test_a_litre_on_a_square_metre_is_a_millimetre():
    assert washing.rinse_volume(area=1.0, rinse_depth=1e-3) == pytest.approx(1e-3)
    assert washing.wash_volume(area=30.0, coverage=3000.0) == pytest.approx(0.01)


@given(volume=positive, strength=positive, times=st.floats(1, 1e3))
def test_what_goes_in_is_in_the_mix(volume, strength, times):
    """Conservation: the stock that goes in holds as much as the solution does, and parts agree with volumes."""
    stock_strength = strength * times
    stock = washing.stock_volume(volume=volume, strength=strength, stock_strength=stock_strength)
    assert stock * stock_strength == pytest.approx(washing.active_mass(volume=volume, strength=strength))
    water = washing.dilution_water(volume=volume, stock_volume=stock)
    parts = washing.parts_of_water(strength=strength, stock_strength=stock_strength)
    assert water == pytest.approx(parts * stock, abs=1e-9 * volume)
