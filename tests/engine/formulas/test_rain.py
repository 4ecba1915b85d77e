"""Chances of rain for parts of a day: bounds, sums, and a simulation of hours."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import rain

DAY = 86_400.0
chances = st.floats(0, 1)
parts = st.floats(0, 1)


@given(chances, parts)
def test_the_least_lies_below_the_even_spread_and_that_below_the_whole_day(chance, part):
    """Bernoulli's inequality: (1 − P)^a is at most 1 − a·P for a up to 1."""
    numbers = {"chance": chance, "time": part * DAY, "period": DAY}
    least, even = rain.chance_of_one_shower(**numbers), rain.chance_in_hours(**numbers)
    assert least <= even + 1e-12
    assert even <= chance + 1e-12


@given(chances, parts)
def test_the_parts_of_a_day_make_its_chance(chance, part):
    one, other = (rain.chance_in_hours(chance=chance, time=t * DAY, period=DAY) for t in (part, 1 - part))
    assert rain.chance_of_either(first=one, second=other) == pytest.approx(chance, abs=1e-12)


def test_hours_drawn_by_themselves():
    """A million days of 24 hours that are each wet by themselves, so that 40 % of the days are."""
    made = np.random.default_rng(5).random((200_000, 24)) < 1 - 0.6 ** (1 / 24)
    assert made.any(axis=1).mean() == pytest.approx(0.4, abs=0.004)
    told = rain.chance_in_hours(chance=0.4, time=9 * 3600.0, period=DAY)
    assert made[:, 8:17].any(axis=1).mean() == pytest.approx(told, abs=0.004)


def test_one_shower_drawn_at_any_time():
    rng = np.random.default_rng(6)
    wet, at = rng.random(400_000) < 0.4, rng.random(400_000) * 24
    told = rain.chance_of_one_shower(chance=0.4, time=9 * 3600.0, period=DAY)
    assert (wet & (at >= 8) & (at < 17)).mean() == pytest.approx(told, abs=0.003)


def test_certain_rain_stays_finite():
    found = rain.dryness(np.array([0.0, 0.5, 1.0]))
    assert found[:2] == pytest.approx([0.0, math.log(2)])
    assert np.isfinite(found).all()
