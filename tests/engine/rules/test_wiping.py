"""When a coat is wiped, and when a second goes on the wet first: the sheet, the family or the regime says it.

The times are the records' own: only which of them holds is asked for here. Which one should is common practice.
"""

from __future__ import annotations

import msgspec
import pytest

from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.rules.wiping import second_coat_times, wipe_times


@pytest.fixture
def oil(lw):
    """A family that is laid twice, wet on wet, on wood that takes it up."""
    return lw.shelf.record("coating", "semi-transparent-oil-stain")


@pytest.fixture
def flood(lw):
    """One coat, flooded."""
    return lw.shelf.record("wiping-regime", "one-flood-coat")


@pytest.fixture
def twice(lw):
    """Two coats, the second on the wet first."""
    return lw.shelf.record("wiping-regime", "wet-on-wet")


def times(coating, regime, *, wipe=None, longest=None):
    ledger = Ledger("test")
    found = wipe_times(coating, regime, ledger, wipe=wipe, longest=longest)
    return *found, [line.path for line in ledger.basis]


def test_a_family_that_is_laid_as_usual_has_its_own_times(oil, twice):
    own = oil.dwell
    assert own.second_coat is not None
    span, longest, basis = times(oil, twice)
    assert span == pytest.approx((own.wipe.si, own.wipe.si))
    assert longest == pytest.approx(own.longest.si)
    assert basis == [own.wipe.path, own.longest.path]


def test_a_family_that_is_laid_otherwise_has_those_of_the_regime(oil, flood):
    span, longest, basis = times(oil, flood)
    assert span == pytest.approx((flood.wipe.low, flood.wipe.high))
    assert longest == pytest.approx(max(flood.longest.si, flood.wipe.high))
    assert basis == [flood.wipe.path, flood.longest.path]


def test_a_family_without_times_has_those_of_the_regime(oil, flood):
    bare = msgspec.structs.replace(oil, dwell=None)
    assert times(bare, flood) == times(oil, flood)


def test_the_sheet_comes_first_and_is_never_over_before_it_begins(oil, flood):
    assert times(oil, flood, wipe=3000.0, longest=4000.0) == ((3000.0, 3000.0), 4000.0, [])
    assert times(oil, flood, wipe=9000.0)[:2] == ((9000.0, 9000.0), 9000.0)


def test_a_coat_of_which_nothing_says_when_is_refused(oil, twice):
    bare = msgspec.structs.replace(oil, dwell=None)
    for refused in (
        lambda: times(bare, twice),
        lambda: second_coat_times(bare, twice, Ledger("test"), stated=None),
    ):
        with pytest.raises(InputProblem) as problem:
            refused()
        assert problem.value.faults[0].code == "missing"


def test_only_what_is_laid_wet_on_wet_has_a_second_coat(oil, flood, twice):
    def second(regime, stated=None):
        return second_coat_times(oil, regime, Ledger("test"), stated=stated)

    assert second(flood) is None
    assert second(None) is None
    assert second(twice) == pytest.approx((oil.dwell.second_coat.low, oil.dwell.second_coat.high))
    assert second(twice, 1500.0) == (1500.0, 1500.0)
