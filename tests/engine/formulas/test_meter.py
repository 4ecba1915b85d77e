"""Meter corrections, held against printed rules and tables."""

import pytest

from latewood.formulas import meter

ZERO = 273.15

#: FPL-GTR-6 (James), resistance in Mohm at 27 °C by moisture content: ends and the 20 % level read, the rest recalled.
DOUGLAS_FIR = {"7": 22400, "8": 4780, "10": 630, "12": 120, "14": 33, "16": 11.2, "18": 4.6, "20": 2.14, "25": 0.46}
KHAYA = {"7": 44600, "8": 16200, "10": 2750, "12": 630, "14": 180, "16": 60.2, "18": 21.9, "20": 9.33, "25": 1.44}


def by_rule(reading, t, calibration=20.0):
    return 100 * meter.corrected_by_rule(
        reading=reading / 100,
        wood_temperature=t + ZERO,
        calibration_temperature=calibration + ZERO,
        step=0.005,
    )


def test_half_a_point_for_ten_degrees_fahrenheit():
    """Wood Handbook ch. 13: 0.5 points for 10 °F; two instrument manuals: 0.5 for 5 °C, from 20 °C."""
    assert by_rule(15, 20) == pytest.approx(15)
    assert by_rule(15, 20 - 10 / 1.8) == pytest.approx(15.5)
    assert by_rule(15, 30) == pytest.approx(15 - 0.5 * 10 / 5, abs=0.11)


#: An Australian floor association's table for Douglas-fir-scaled pin meters, whole points, readings of 8 to 20.
AUSTRALIAN = {15: (0, 0, 1, 1, 1, 1, 2), 20: (0,) * 7, 25: (-1,) * 7, 30: (-1, -1, -1, -2, -2, -2, -2)}


@pytest.mark.parametrize("t", AUSTRALIAN)
def test_both_rules_against_an_independent_table(t):
    """1.6 points: the table gives whole points, rounded away from zero; signs must agree."""
    for reading, points in zip(range(8, 21, 2), AUSTRALIAN[t], strict=True):
        curve = 100 * meter.corrected_by_pfaff_garrahan(reading=reading / 100, wood_temperature=t + ZERO) - reading
        for got in (curve, by_rule(reading, t) - reading):
            assert got == pytest.approx(points, abs=1.6)
            assert got * points >= 0


@pytest.mark.parametrize(
    ("reading", "t", "percent"), [(8, -10, 10.35), (12, 0, 13.96), (15, 5, 16.70), (16, 35, 14.39), (25, 40, 21.94)]
)
def test_pfaff_and_garrahan_worked(reading, t, percent):
    """Worked apart from this program, from the recalled constants: it tests the implementation, not the publication."""
    got = meter.corrected_by_pfaff_garrahan(reading=reading / 100, wood_temperature=t + ZERO)
    assert 100 * got == pytest.approx(percent, abs=0.006)


def test_between_tabulated_corrections_it_is_straight_and_beyond_them_flat():
    points = {"8": 0.01, "12": 0.03}
    assert [meter.tabulated(r, points) for r in (0.07, 0.08, 0.10, 0.12, 0.2)] == pytest.approx(
        [0.01, 0.01, 0.02, 0.03, 0.03]
    )


def test_through_resistance():
    """Khaya reads about 3.4 points low at 15 on the Douglas-fir scale; its own scale changes nothing."""
    assert 100 * meter.read_on_scale(0.15, DOUGLAS_FIR, KHAYA) == pytest.approx(18.4, abs=0.15)
    assert meter.read_on_scale(0.13, DOUGLAS_FIR, DOUGLAS_FIR) == pytest.approx(0.13)


def test_the_scale_ends_where_the_table_ends():
    assert meter.read_on_scale(0.26, DOUGLAS_FIR, KHAYA) is None
    assert meter.read_on_scale(0.25, DOUGLAS_FIR, KHAYA) is None
    assert meter.read_on_scale(0.06, DOUGLAS_FIR, KHAYA) is None
