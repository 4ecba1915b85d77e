"""The bundled answers to the weather: gates one by one, clocks slow and fast, dwell at the board's temperature."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood_plugins import weather

KELVIN = 273.15
LIMITS = {
    "coldest": 10 + KELVIN,
    "hottest": 35 + KELVIN,
    "humidity": 0.85,
    "spread": 3.0,
    "wind": 6.7,
    "dry_before": 2 * 3600.0,
    "hold": 3 * 3600.0,
    "hold_coldest": 10 + KELVIN,
    "cool_for": 2 * 3600.0,
}


def margins(count=6, **changed):
    fair = {
        "air_temperature": np.full(count, 20 + KELVIN),
        "surface_temperature": np.full(count, 22 + KELVIN),
        "relative_humidity": np.full(count, 0.6),
        "dew_point_spread": np.full(count, 9.0),
        "rain": np.zeros(count),
        "wind_speed": np.full(count, 2.0),
    }
    given_arrays = {name: np.asarray(value, float) for name, value in changed.items()}
    return weather.within_limits(**{**fair, **given_arrays}, step=3600.0, limits=LIMITS)


def failing(at=2, **changed):
    return {name for name, margin in margins(**changed).items() if not margin[at] >= 0}


def column(usual, **special):
    values = [usual] * 6
    for place, value in special.items():
        values[int(place[1:])] = value
    return values


def test_fair_weather_passes():
    assert failing() == set()


@pytest.mark.parametrize(
    ("changed", "gates"),
    [
        ({"air_temperature": column(293.15, _2=282.0)}, {"cold", "cold-later"}),
        ({"air_temperature": column(293.15, _4=282.0)}, {"cold-later"}),
        ({"air_temperature": column(293.15, _5=282.0)}, set()),
        ({"surface_temperature": column(295.15, _2=309.0)}, {"hot", "hot-later"}),
        ({"surface_temperature": column(295.15, _3=309.0)}, {"hot-later"}),
        ({"surface_temperature": column(295.15, _2=282.0)}, {"cold"}),
        ({"relative_humidity": column(0.6, _2=0.86)}, {"humid"}),
        ({"dew_point_spread": column(9.0, _2=2.9)}, {"dew"}),
        ({"wind_speed": column(2.0, _2=7.0)}, {"wind"}),
        ({"rain": column(0.0, _2=0.001)}, {"rain", "wet-before"}),
        ({"rain": column(0.0, _1=0.001)}, {"wet-before"}),
        ({"rain": column(0.0, _0=0.001)}, set()),
        ({"rain": column(0.0, _2=math.nan)}, {"rain", "wet-before"}),
    ],
)
def test_each_gate_stops_what_it_is_for(changed, gates):
    assert failing(**changed) == gates


def test_what_lies_before_and_after_the_series_is_not_known():
    found = margins()
    assert np.isnan(found["wet-before"]).tolist() == [True, False, False, False, False, False]
    assert np.isnan(found["cold-later"]).tolist() == [False, False, False, False, True, True]


def test_gates_that_do_not_apply_are_left_out():
    bare = margins()
    assert set(bare) == {
        "rain", "cold", "hot", "humid", "dew", "wind", "wet-before", "cold-later", "hot-later",
    }  # fmt: skip
    only = weather.within_limits(
        air_temperature=np.array([280.0]),
        surface_temperature=np.array([280.0]),
        relative_humidity=np.array([0.9]),
        dew_point_spread=np.array([1.0]),
        rain=np.array([0.0]),
        wind_speed=np.array([20.0]),
        step=3600.0,
        limits={},
    )
    assert set(only) == {"rain"}


def clock(model, celsius, humidity=0.5, coldest=5.0):
    warm = np.asarray(celsius, float) + KELVIN
    return model(
        surface_temperature=warm,
        air_temperature=warm,
        relative_humidity=np.full_like(warm, humidity),
        coldest=coldest + KELVIN,
    )


def test_the_oil_clock_is_slow_and_fast_on_both_sides_of_23_degrees():
    """exp(E/R·(1/296.15 − 1/T)) for 50 and 66 kJ/mol; above 35 °C the slow clock gets no faster."""
    slow, fast = clock(weather.oxidative, [10, 23, 30, 40])
    assert slow == pytest.approx([0.2921, 1, 1.5982, 2.2051], abs=1e-4)
    assert fast == pytest.approx([0.3937, 1, 1.8569, 4.2849], abs=1e-4)


def test_the_waterborne_clock_takes_what_is_slower():
    """Deficits of 0.131 and 0.906 of the standard state at 10 °C/85 % and 30 °C/70 %; 1.5982 for E of 50 at 30 °C."""
    slow, fast = clock(weather.evaporative, [10], 0.85)
    assert (slow[0], fast[0]) == (pytest.approx(0.131, abs=1e-3), pytest.approx(0.3937, abs=1e-4))
    slow, fast = clock(weather.evaporative, [30], 0.70)
    assert (slow[0], fast[0]) == (pytest.approx(0.906, abs=1e-3), pytest.approx(1.5982, abs=1e-4))


@given(st.floats(-10, 45), st.floats(0.05, 1))
def test_no_clock_runs_below_its_limit_and_slow_is_never_the_faster(celsius, humidity):
    for model in (weather.oxidative, weather.evaporative, weather.slowest):
        slow, fast = clock(model, [celsius], humidity)
        assert 0 <= slow[0] <= fast[0]
        if celsius < 5:
            assert fast[0] == 0
    oil, water, unknown = (
        clock(model, [celsius], humidity) for model in (weather.oxidative, weather.evaporative, weather.slowest)
    )
    assert unknown[0][0] == min(oil[0][0], water[0][0])
    assert unknown[1][0] == max(oil[1][0], water[1][0])


@pytest.mark.parametrize(
    ("celsius", "before", "after"),
    [(23, 15, 20), (30, 8.08, 10.77), (40, 3.50, 4.67), (50, 1.60, 2.13), (15, 15, 30), (4, 15, 30)],
)
def test_wiping_goes_by_the_fast_clock(celsius, before, after):
    """15 to 20 min at 23 °C: 15 min become 8.08 at 30, 3.50 at 40 and 1.60 at 50 °C; half an hour is the longest."""
    slow, fast = clock(weather.oxidative, [celsius])
    found = weather.wiped(earliest=900.0, latest=1200.0, longest=1800.0, slow=slow, fast=fast)
    assert [float(one[0]) / 60 for one in found] == pytest.approx([before, after], abs=0.006)
