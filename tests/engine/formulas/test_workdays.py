"""Working days, laid out by hand."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas.workdays import DAY, Block, course

HOUR = 3600.0
EIGHT = 8 * HOUR


def test_work_that_fits_into_a_day():
    """Hand-worked: half an hour to set up, five of work."""
    done = course([Block(3 * HOUR), Block(2 * HOUR)], EIGHT, 0.5 * HOUR)
    assert (done.end / HOUR, done.days, done.on(EIGHT)) == (5.5, 1, 1)


def test_work_that_runs_over():
    """Hand-worked: 7.5 hours on the first day, 2.5 on the second after setting up again."""
    done = course([Block(10 * HOUR)], EIGHT, 0.5 * HOUR)
    assert (done.end / HOUR, done.days, done.on(EIGHT)) == (24 + 0.5 + 2.5, 2, 2)


def test_wood_dries_by_night():
    """Hand-worked: washed by 2.5 h, dry 12 h later in the night, sanded next morning."""
    done = course([Block(2 * HOUR, 12 * HOUR), Block(3 * HOUR)], EIGHT, 0.5 * HOUR)
    assert done.end / HOUR == pytest.approx(24 + 0.5 + 3)
    assert done.days == 2


def test_a_wait_within_the_day_costs_no_second_setting_up():
    done = course([Block(1 * HOUR, 2 * HOUR), Block(1 * HOUR)], EIGHT, 0.5 * HOUR)
    assert (done.end / HOUR, done.days) == (4.5, 1)


def test_what_ends_with_the_day_begins_on_the_next():
    done = course([Block(7.5 * HOUR)], EIGHT, 0.5 * HOUR)
    assert (done.end, done.on(EIGHT)) == (EIGHT, 2)


def test_what_never_dries_never_ends():
    done = course([Block(HOUR, math.inf), Block(HOUR)], EIGHT, 0.5 * HOUR)
    assert math.isinf(done.end)


blocks = st.lists(st.tuples(st.floats(0, 40 * HOUR), st.floats(0, 5 * DAY)), min_size=1, max_size=5)


@given(blocks=blocks, day=st.floats(4 * HOUR, 16 * HOUR), set_up=st.floats(0, 2 * HOUR))
def test_work_is_done_in_working_hours_and_nothing_is_lost(blocks, day, set_up):
    done = course([Block(*block) for block in blocks], day, set_up)
    work, wait = (sum(column) for column in zip(*blocks, strict=True))
    assert done.end >= work + wait - 1e-6
    assert done.days * (day - set_up) >= work - 1e-6
    assert done.days <= math.ceil(work / (day - set_up - 600)) + len(blocks)


@given(blocks=blocks, more=st.floats(0, 2 * DAY))
def test_waiting_longer_is_never_done_sooner(blocks, more):
    first = course([Block(*block) for block in blocks], EIGHT, 0.5 * HOUR)
    longer = [Block(work, wait + more) for work, wait in blocks]
    assert course(longer, EIGHT, 0.5 * HOUR).end >= first.end - 1e-6
