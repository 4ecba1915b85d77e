"""The cheapest set of containers, against an integer solver, brute force, and worked cases."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from latewood.formulas.purchase import (
    Container,
    Purchase,
    TooManyContainers,
    assumed_cost,
    cheapest,
)

METRIC = [(0.75, 26), (1, 31), (2.5, 64), (5, 115), (10, 212), (20, 400)]
US = [(0.25, 24), (1, 68), (5, 290)]

# Optimum costs, volumes and mixes recomputed with SciPy's milp (HiGHS) below; the prices are invented.
CASES = [
    (METRIC, 0.8, 31, 1.0),
    (METRIC, 1.6, 57, 1.75),
    (METRIC, 2.0, 62, 2.0),
    (METRIC, 3.3, 95, 3.5),
    (METRIC, 4.1, 115, 5.0),
    (METRIC, 6.2, 167, 6.5),
    (METRIC, 7.6, 203, 7.75),
    (METRIC, 9.3, 212, 10.0),
    (METRIC, 12.4, 276, 12.5),
    (METRIC, 14.0, 327, 15.0),
    (METRIC, 18.9, 400, 20.0),
    (METRIC, 23.0, 490, 23.25),
    (METRIC, 31.7, 669, 31.75),
    (US, 0.6, 68, 1.0),
    (US, 1.3, 116, 1.5),
    (US, 2.6, 204, 3.0),
    (US, 4.1, 290, 5.0),
    (US, 4.9, 290, 5.0),
    (US, 6.8, 426, 7.0),
    (US, 8.9, 562, 9.0),
    (US, 9.4, 580, 10.0),
    (US, 11.2, 672, 11.25),
    # A small container on offer: 100 buys 4.5 or 5; the smaller volume wins the tie.
    ([(1, 20), (2.5, 60), (5, 110)], 4.2, 100, 4.5),
    ([(1, 20), (2.5, 60), (5, 110)], 7.1, 160, None),
]


def shelf(sizes: list[tuple[float, float]]) -> list[Container]:
    return [Container(fill=size / 1000, cost=cost) for size, cost in sizes]


def oracle(demand: float, sizes: list[Container]) -> float:
    """Return the least cost by SciPy's milp (HiGHS)."""
    fills = np.array([[s.fill * 1000 for s in sizes]])
    costs = np.array([s.cost for s in sizes])
    need = demand * 1000 * (1 - 1e-9)
    found = milp(costs, constraints=LinearConstraint(fills, lb=need), integrality=np.ones(len(sizes)))
    return float(found.fun)


@pytest.mark.parametrize(("sizes", "demand", "cost", "volume"), CASES)
def test_worked_cases_agree_with_an_integer_solver(sizes, demand, cost, volume):
    found = cheapest(demand / 1000, shelf(sizes))
    assert found.cost == cost == pytest.approx(oracle(demand / 1000, shelf(sizes)))
    assert volume is None or found.volume * 1000 == pytest.approx(volume)


@pytest.mark.parametrize("demand", [0.8, 3.3, 9.3, 18.9])
def test_largest_first_is_dearer(demand):
    """Each of these rows costs more when filled greedily with the largest size that fits."""
    left, cost = demand, 0.0
    for size, price in reversed(METRIC):
        count = int(left // size)
        left, cost = left - count * size, cost + count * price
    cost += min(price for size, price in METRIC if size >= left)
    assert cheapest(demand / 1000, shelf(METRIC)).cost < cost


def test_a_demand_equal_to_a_size_buys_that_size():
    assert cheapest(0.005, shelf(METRIC)).counts == (0, 0, 0, 1, 0, 0)
    # 5 US gallons in m3 is not the float sum of five gallons; the tolerance absorbs that.
    gallon = 3.785411784e-3
    assert cheapest(5 * gallon, [Container(gallon, 10.0), Container(5 * gallon, 40.0)]).counts == (0, 1)


def test_no_demand_buys_nothing():
    assert cheapest(0, shelf(US)) == Purchase((0, 0, 0), 0.0, 0.0)


PRICED = st.lists(
    st.tuples(st.integers(1, 80).map(lambda q: q / 4), st.integers(1, 400)),
    min_size=1,
    max_size=5,
    unique_by=lambda s: s[0],
)


@given(PRICED, st.integers(1, 200).map(lambda q: q / 4))
@settings(max_examples=60, deadline=None)
def test_cost_is_that_of_the_integer_solver(sizes, demand):
    assert cheapest(demand / 1000, shelf(sizes)).cost == pytest.approx(oracle(demand / 1000, shelf(sizes)), rel=1e-6)


@given(
    st.lists(st.tuples(st.integers(1, 8), st.integers(1, 20)), min_size=1, max_size=3, unique_by=lambda s: s[0]),
    st.integers(1, 20),
)
@settings(max_examples=60, deadline=None)
def test_ties_go_to_the_least_volume_then_the_fewest(sizes, demand):
    """Brute force over every mix, in the stated order of preference."""
    best = min(
        (
            sum(n * c for n, (_, c) in zip(mix, sizes, strict=True)),
            sum(n * f for n, (f, _) in zip(mix, sizes, strict=True)),
            sum(mix),
        )
        for mix in product(range(demand + 1), repeat=len(sizes))
        if sum(n * f for n, (f, _) in zip(mix, sizes, strict=True)) >= demand
    )
    found = cheapest(float(demand), [Container(float(f), float(c)) for f, c in sizes])
    assert (found.cost, found.volume, sum(found.counts)) == best


@given(PRICED, st.integers(1, 100), st.integers(0, 100))
@settings(max_examples=60, deadline=None)
def test_more_demand_never_costs_less(sizes, demand, more):
    at_first = cheapest(demand / 4000, shelf(sizes)).cost
    assert cheapest((demand + more) / 4000, shelf(sizes)).cost >= at_first * (1 - 1e-12)


@given(PRICED, st.integers(1, 100), st.sampled_from([0.5, 2.0, 3.0, 7.0]))
@settings(max_examples=40, deadline=None)
def test_scaling_all_volumes_changes_no_count(sizes, demand, scale):
    plain = cheapest(demand / 4, [Container(s, c) for s, c in sizes])
    scaled = cheapest(demand / 4 * scale, [Container(s * scale, c) for s, c in sizes])
    assert plain.counts == scaled.counts


def test_hostile_sizes_end_within_the_budget():
    """Tiny sizes for a huge demand are quick; what cannot be proved is refused, never approximated."""
    assert cheapest(10.0, [Container(1e-7, 1.0)]).counts == (100_000_000,)
    near = [Container(1 + n * 1.234567e-7, 1 + n * 1.234567e-7) for n in range(12)]
    with pytest.raises(TooManyContainers, match="fewer sizes"):
        cheapest(1e5 + 0.5, near, nodes=200)


@pytest.mark.parametrize(
    ("demand", "containers"),
    [
        (float("nan"), shelf(US)),
        (-1.0, shelf(US)),
        (1.0, []),
        (1.0, [Container(0.0, 1.0)]),
        (1.0, [Container(1.0, float("inf"))]),
    ],
)
def test_what_is_no_number_is_refused(demand, containers):
    with pytest.raises(ValueError, match=r"must be|no container"):
        cheapest(demand, containers)


def test_assumed_cost_is_the_stated_power():
    """A judgement of ours, labelled so: twice the size costs 2 ** 0.7 as much."""
    assert assumed_cost(0.01) / assumed_cost(0.005) == pytest.approx(2**0.7)
