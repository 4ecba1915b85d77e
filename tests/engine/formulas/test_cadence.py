"""Courses, edges and cloths by arithmetic, and the wait of the first course against the clock."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.calculators.wipe_cadence.compute.crew_simulation import WorkRates, simulate, tasks
from latewood.calculators.wipe_cadence.compute.dwell import Window
from latewood.calculators.wipe_cadence.compute.run_segments import Course, RunSegment
from latewood.calculators.wipe_cadence.resolved import Crew
from latewood.formulas import cadence
from latewood.uncertainty import spread

HOUR = 3600.0
MINUTE = 60.0


def test_a_course_takes_its_area_over_the_pace():
    """A 5/4x6 board with 1/8 in of gap over 6 m: 0.8574 m2, 2.058 min at 25 m2/h, half of that by two people."""
    area = cadence.course_area(pitch=0.1429, course_length=6.0)
    assert area == pytest.approx(0.8574)
    assert cadence.course_time(area=area, people=1, pace=25 / HOUR) == pytest.approx(2.05776 * MINUTE)
    assert cadence.course_time(area=area, people=2, pace=25 / HOUR) == pytest.approx(1.02888 * MINUTE)


def test_a_whole_perimeter_takes_longer_than_its_oil_may_stay():
    """Edge work of a deck of 12 x 16 ft with 8 posts, 18.69 m: 28.04 min at 40 m/h, against 20 min."""
    assert cadence.cut_in_time(edge_length=18.6944, people=1, pace=40 / HOUR) == pytest.approx(28.04 * MINUTE, rel=1e-3)


def test_slow_ends_of_paces_are_long_ends_of_times():
    pace = spread.lognormal("x", 8 / HOUR, 25 / HOUR, 40 / HOUR)
    time = cadence.course_time(area=1.0, people=1, pace=pace)
    assert spread.high(time) == pytest.approx(HOUR / 8)
    assert spread.low(time) == pytest.approx(HOUR / 40)


def test_arrays_pass():
    times = cadence.course_time(area=np.array([0.5, 1.0]), people=1, pace=20 / HOUR)
    assert cadence.courses_within(time=15 * MINUTE, course_time=times) == pytest.approx([10, 5])


def test_cloths():
    assert cadence.cloths_by_area(area=18.0, cloth_area=4.0) == pytest.approx(4.5)
    assert cadence.cloths_by_volume(applied=0.005, cloth_volume=0.0005) == pytest.approx(10)


@given(
    st.integers(1, 30), st.floats(1, 100), st.floats(0.5, 50), st.floats(0, 120), st.floats(1, 100), st.integers(1, 4)
)
def test_the_first_wait_is_what_the_clock_shows(courses, lay, cut, turn, wipe, people):
    """Wiping that is due at once: the first course is wiped as soon as the band is laid."""
    rates = WorkRates(lay=1 / lay, wipe=1 / wipe, cut=1 / cut, gap=None, turn=turn)
    band = tuple(Course(number, 1.0, 1.0, 1.0) for number in range(1, courses + 1))
    crew = Crew(people, 0, 0)
    taken = tasks(RunSegment("main", band, frozenset()), crew, rates)
    simulated = simulate(taken, (courses,), courses, crew, turn, Window(0.0, 1e9), None, 0)
    assert simulated is not None
    first = cadence.first_wait(
        courses=courses,
        cut_in_time=cadence.cut_in_time(edge_length=1.0, people=people, pace=1 / cut),
        course_time=cadence.course_time(area=1.0, people=people, pace=1 / lay),
        turn_time=turn,
        wiping_time=cadence.course_time(area=1.0, people=people, pace=1 / wipe),
    )
    assert simulated.timings[0].wiped - simulated.timings[0].first == pytest.approx(first)
