"""What a day of work does to a person: vibration at the hand."""

import pytest

from latewood.formulas import exposure


# Health and Safety Executive, exposure points 2·a²·t: 100 are the action value of 2.5 m/s2, 400 the limit of 5 m/s2.
@pytest.mark.parametrize(("vibration", "hours"), [(5, 3), (4, 3), (7, 1.5), (10, 0.5), (2.5, 8), (12, 0.25)])
def test_vibration_of_a_day_agrees_with_exposure_points(vibration, hours):
    points = 2 * vibration**2 * hours
    found = exposure.daily_vibration(vibration=vibration, time=hours * 3600)
    assert found == pytest.approx(2.5 * (points / 100) ** 0.5, rel=1e-12)
