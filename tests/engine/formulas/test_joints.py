"""Butt joints, held against laying one board after another, and against sums worked by hand."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from latewood.formulas.joints import first_joint, joint_count, joint_step, joints_within

FT, INCH = 0.3048, 0.0254


def laid_one_by_one(start, end, stock, joists, first_joist):
    """Walk along the run: from each joint to the last joist that a board reaches, until a board reaches the end."""
    places, at = [], start
    while end - at > stock + 1e-3:
        reach = at + stock
        if joists is not None:
            on = first_joist
            while on + joists <= reach + 1e-3:
                on += joists
            reach = on
        places.append(reach)
        at = reach
    return places


@pytest.mark.parametrize(
    ("run", "stock", "joists", "joints"),
    [
        (16, 16, 16, 0),
        (16.01, 16, 16, 1),
        (40, 20, 16, 1),
        (40, 16, 16, 2),
        (40, 12, 16, 3),
        (40, 14, 16, 2),
        (40, 13, None, 3),
    ],
)
def test_by_hand(run, stock, joists, joints):
    """In feet, joists in inches; 13 ft without joists: at 13, 26 and 39 ft."""
    ends = np.array([[0.0, run * FT, 0.0, 0.0]])
    found = joint_count(ends, stock * FT, None if joists is None else joists * INCH)
    assert found.tolist() == [joints]


@given(
    start=st.floats(-5, 5),
    length=st.floats(0.2, 40),
    stock=st.floats(1, 8),
    joists=st.none() | st.sampled_from([0.3, 0.4064, 0.5, 0.6096]),
    first=st.floats(-7, -6),
)
def test_as_many_as_laying_boards_one_by_one(start, length, stock, joists, first):
    places = laid_one_by_one(start, start + length, stock, joists, first)
    ends = np.array([[start, start + length, 0.0, first]])
    found = int(joint_count(ends, stock, joists)[0])
    # A remainder within a hair of a whole board may fall either way.
    assert abs(found - len(places)) <= (abs((start + length - (places or [start])[-1]) - stock) < 2e-3)
    if found and found == len(places):
        steps = first_joint(start, stock, joists, first) + np.arange(found) * joint_step(stock, joists)
        assert steps == pytest.approx(places, abs=1e-2 * found)


@given(
    lengths=st.lists(st.floats(2, 40), min_size=1, max_size=6),
    cut=st.floats(0.01, 0.99),
    stock=st.floats(1, 8),
    joists=st.none() | st.sampled_from([0.3, 0.5]),
)
def test_two_halves_share_out_the_joints_of_the_whole(lengths, cut, stock, joists):
    """Each strip is one piece of its own length; a saw cut sorts its joints into the halves and loses none."""
    pieces = np.array([[0.1 * row, 0.1 * row + length, row, 0.0] for row, length in enumerate(lengths)])
    left, right = pieces.copy(), pieces.copy()
    left[:, 1] = right[:, 0] = pieces[:, 0] + cut * (pieces[:, 1] - pieces[:, 0])
    whole = int(joint_count(pieces, stock, joists).sum())
    parts = [joints_within(half, pieces, stock, joists) for half in (left, right)]
    assert sum(parts) == whole
    assert joints_within(pieces, pieces, stock, joists) == whole


def test_joints_fall_to_the_half_they_lie_in():
    """A run of 10 m of 4 m boards has joints at 4 and 8 m; cut at 5 m each half has one, at 3 m the first has none."""
    run = np.array([[0.0, 10.0, 0.0, 0.0]])
    for cut, expected in ((5.0, (1, 1)), (3.0, (0, 2)), (9.0, (2, 0))):
        halves = np.array([[[0.0, cut, 0.0, 0.0]], [[cut, 10.0, 0.0, 0.0]]])
        assert tuple(joints_within(half, run, 4.0, None) for half in halves) == expected
    assert joints_within(np.empty((0, 4)), run, 4.0, None) == 0
