"""Wood left above fasteners and in a board, by subtraction."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import remaining

depth = st.floats(0, 0.02)


def test_by_hand():
    """Hand-worked: 2 mm less 0.3; an inch less 0.3 mm and a furrow of 1 mm."""
    assert remaining.cover_left(fastener_cover=2e-3, removal=0.3e-3) == pytest.approx(1.7e-3)
    assert remaining.thickness_left(thickness=25.4e-3, removal=0.3e-3, furrow_depth=1e-3) == pytest.approx(24.1e-3)


@given(cover=st.floats(-0.02, 0.05), first=depth, more=depth)
def test_what_is_taken_off_twice_is_gone_twice(cover, first, more):
    at_once = remaining.cover_left(fastener_cover=cover, removal=first + more)
    in_turn = remaining.cover_left(
        fastener_cover=remaining.cover_left(fastener_cover=cover, removal=first), removal=more
    )
    assert at_once == pytest.approx(in_turn, abs=1e-12)
    assert at_once <= cover
