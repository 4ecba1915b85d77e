"""From which day a wait on new treated wood counts. Common practice, no source: no test is made in the evening."""

from datetime import UTC, date, datetime
from types import SimpleNamespace

import pytest

from latewood.provenance import Ledger
from latewood.rules import new_wood
from latewood.rules.work import EVENING

DAY = 86_400.0


@pytest.mark.parametrize(
    ("hour", "minute", "day"), [(8, 0, 4), (EVENING - 1, 59, 4), (EVENING, 0, 5), (EVENING, 30, 5), (23, 59, 5)]
)
def test_a_drop_of_the_evening_counts_from_the_next_morning(hour, minute, day):
    assert new_wood.counts_from(datetime(2026, 5, 4, hour, minute, tzinfo=UTC)) == date(2026, 5, day)


def test_an_evening_at_the_end_of_a_month_counts_from_the_next_month():
    assert new_wood.counts_from(datetime(2026, 5, 31, EVENING, tzinfo=UTC)) == date(2026, 6, 1)


@pytest.mark.parametrize(("wait", "days"), [(None, 0), (0.0, 0), (14 * DAY, 14), (13.5 * DAY, 14), (14.01 * DAY, 15)])
def test_work_begins_on_the_day_after_the_wait(wait, days):
    assert new_wood.tested_after(wait) == days


def test_nothing_is_left_of_a_wait_that_is_over():
    assert new_wood.left(14 * DAY, 10 * DAY) == 4 * DAY
    assert new_wood.left(14 * DAY, 15 * DAY) == 0.0


def test_where_no_rule_has_a_wait_there_is_none():
    """The usual rule stands in for one that has no wait of its own."""
    silent = SimpleNamespace(bead_wait=None)
    known = SimpleNamespace(record=lambda *_: silent)
    assert new_wood.bead_wait(None, known, Ledger("test")) == 0.0
    assert new_wood.bead_wait(silent, known, Ledger("test")) == 0.0
