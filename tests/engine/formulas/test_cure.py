"""The cure clock against its definition, the trade's rule of thumb, and plain loops."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas import clockwork, cure

KELVIN = 273.15


def rate(celsius, energy=66e3):
    return cure.oxidative_rate(temperature=np.asarray(celsius) + KELVIN, activation_energy=energy)


@pytest.mark.parametrize(
    ("energy", "rates"),
    [
        (50e3, [0.2687, 0.3937, 0.5691, 0.8124, 1, 1.1459, 1.5982, 2.2051, 3.0112]),
        (66e3, [0.1765, 0.2921, 0.4751, 0.7601, 1, 1.1970, 1.8569, 2.8400, 4.2849]),
    ],
)
def test_rates_from_5_to_40_degrees(energy, rates):
    """Worked by hand from exp(E/R·(1/296.15 − 1/T)), four decimals."""
    assert rate([5, 10, 15, 20, 23, 25, 30, 35, 40], energy) == pytest.approx(rates, abs=6e-5)


def test_the_trades_rule():
    """Time doubles at 10 °C and halves at 30 °C, both against 20 °C: published of two-pack coatings; E of 50 kJ/mol."""
    assert rate(20, 50e3) / rate(10, 50e3) == pytest.approx(2, rel=0.05)
    assert rate(30, 50e3) / rate(20, 50e3) == pytest.approx(2, rel=0.05)


@pytest.mark.parametrize(("celsius", "hours"), [(10, 41.08), (15, 25.26), (20, 15.79), (30, 6.46)])
def test_twelve_hours_elsewhere(celsius, hours):
    assert cure.hours_at_rate(hours=12, rate=rate(celsius)) == pytest.approx(hours, abs=0.005)


def test_a_day_of_changing_weather():
    """4 h at 23, 4 h at 18, 8 h at 12, 8 h at 20 °C: 15.450 h together, 12 of them after 19.461 h (worked by hand)."""
    rates = rate(np.repeat([23.0, 18.0, 12.0, 20.0], [4, 4, 8, 8]))
    assert cure.equivalent_time(rates=rates, step=1.0) == pytest.approx(15.450, abs=5e-4)
    assert clockwork.reached(clockwork.running(rates), [0.0], 12)[0] == pytest.approx(19.461, abs=5e-4)


@pytest.mark.parametrize(
    ("face", "air", "humidity", "ratio"),
    [
        (10, 10, 0.85, 0.131),
        (10, 10, 0.50, 0.437),
        (15, 15, 0.60, 0.486),
        (20, 20, 0.50, 0.832),
        (20, 20, 0.65, 0.583),
        (25, 25, 0.50, 1.128),
        (30, 30, 0.40, 1.813),
        (30, 30, 0.70, 0.906),
    ],
)
def test_how_fast_water_leaves(face, air, humidity, ratio):
    """Vapour pressure deficit against 23 °C and 50 %, Magnus over water (worked by hand)."""
    deficit = cure.vapour_deficit(
        surface_temperature=face + KELVIN, air_temperature=air + KELVIN, relative_humidity=humidity
    )
    assert cure.evaporative_rate(deficit=deficit) == pytest.approx(ratio, abs=6e-4)


def test_a_hot_board_dries_at_the_limit_and_a_dewy_one_not_at_all():
    """A board of 40 °C in air of 25 °C and 50 % would be 4.130 times as fast."""
    hot = cure.vapour_deficit(surface_temperature=313.15, air_temperature=298.15, relative_humidity=0.5)
    assert hot / cure.STANDARD_DEFICIT == pytest.approx(4.130, abs=2e-3)
    assert cure.evaporative_rate(deficit=hot) == 2
    assert cure.evaporative_rate(deficit=-50.0) == 0


#: Hundredths: nobody knows a rate better, and a rate of 1e-300 tests the arithmetic of floats, not ours.
series = st.lists(st.integers(0, 300), min_size=1, max_size=40).map(lambda found: np.array(found) / 100)


@given(series, st.integers(0, 6000).map(lambda found: found / 100), st.integers(0, 100).map(lambda found: found / 100))
def test_reached_against_a_loop(rates, amount, share):
    start = share * len(rates)
    total = clockwork.running(rates)
    found = clockwork.reached(total, [start], amount)[0]
    left, at = amount, start
    for step in range(int(start), len(rates)):
        room = min(step + 1, len(rates)) - at
        if rates[step] * room >= left - 1e-9:
            expected = at if left <= 0 else at + (left / rates[step] if rates[step] > 0 else 0)
            break
        left, at = left - rates[step] * room, step + 1
    else:
        expected = at if left <= 1e-9 else math.inf
    if math.isinf(expected) or math.isinf(found):
        assert found == expected or abs(total[-1] - np.interp(start, np.arange(len(total)), total) - amount) < 1e-6
    else:
        # Where nothing grows, any moment has the same total: compare totals, not moments.
        grown = np.interp([found, expected], np.arange(len(total)), total)
        assert grown[0] == pytest.approx(grown[1], abs=1e-6)


@given(st.integers(1, 5), st.integers(1, 30), st.data())
def test_many_decks_are_each_as_if_alone(decks, steps, data):
    rates = np.array(
        data.draw(st.lists(st.lists(st.floats(0, 2), min_size=steps, max_size=steps), min_size=decks, max_size=decks))
    )
    starts = np.arange(steps, dtype=float)
    total = clockwork.running(rates)
    together = clockwork.reached(total, np.broadcast_to(starts, (decks, steps)), 3.0)
    for row in range(decks):
        alone = clockwork.reached(total[row], starts, 3.0)
        assert together[row] == pytest.approx(alone, abs=1e-6)


@given(series, st.integers(1, 12))
def test_sliding_least_against_a_loop(values, steps):
    ahead, behind = clockwork.ahead(values, steps), clockwork.behind(values, steps)
    for at in range(len(values)):
        inside = values[at : at + steps]
        assert ahead[at] == min(inside) if len(inside) == steps else math.isnan(ahead[at])
        before = values[max(at - steps + 1, 0) : at + 1]
        assert behind[at] == min(before) if len(before) == steps else math.isnan(behind[at])
