"""Two conventions of loss, which must never be taken for one another."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import loss


def test_thirty_percent_by_both_conventions():
    """Hand-worked: 1/(1 - 0.30) = 1.4286 and 1 + 0.30 = 1.30 times what is laid on."""
    assert loss.drawn_with_loss_of_applied(laid_on=1.0, loss=0.3) == pytest.approx(1.4286, abs=5e-5)
    assert loss.drawn_with_loss_on_top(laid_on=1.0, loss=0.3) == pytest.approx(1.30, rel=1e-12)


def test_practical_rate_of_100_at_30_percent():
    """corrosionpedia.com, practical coverage: 100 ft2/gal at a loss factor of 30 % is 70 ft2/gal."""
    assert 100 / loss.drawn_with_loss_of_applied(laid_on=1.0, loss=0.3) == pytest.approx(70, rel=1e-12)


@given(volume=st.floats(1e-3, 1e3), share=st.floats(0, 0.9))
def test_of_applied_never_draws_less(volume, share):
    """1/(1 - L) is 1 + L + L² + …, so it is at least 1 + L."""
    most = loss.drawn_with_loss_of_applied(laid_on=volume, loss=share)
    assert most * (1 + 1e-12) >= loss.drawn_with_loss_on_top(laid_on=volume, loss=share) >= volume
    assert most * (1 - share) == pytest.approx(volume)
