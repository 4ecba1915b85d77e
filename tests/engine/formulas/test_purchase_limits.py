"""What the search for the cheapest containers does with hostile lists and with what is no list at all."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.formulas.purchase import NODES, Container, TooManyContainers, cheapest

UNEVEN = st.lists(st.builds(Container, st.floats(1e-4, 2e-2), st.floats(1, 500)), min_size=1, max_size=12)


def shelf(sizes):
    return [Container(fill=litres / 1000, cost=float(cost)) for litres, cost in sizes]


TWELVE = (0.25, 0.375, 0.5, 0.75, 1, 2, 2.5, 4, 5, 10, 15, 20)


@pytest.mark.parametrize(
    ("demand", "containers", "nodes"),
    [
        pytest.param(10.0, [Container(1e-7, 1.0)], 1, id="0.1 mL for 10 m³"),
        pytest.param(9.99999, shelf([(n, n * 20) for n in (1e-4, 0.75, 1, 2.5, 5, 10, 20)]), 100, id="and others"),
        pytest.param(10.0, shelf([(n, n * 20) for n in TWELVE]), 100, id="one price per volume"),
        pytest.param(3.1234567, shelf([(n, n**0.7) for n in TWELVE]), 100, id="assumed costs"),
        pytest.param(
            0.0637, shelf([(n, n * 20 * 10.0 ** (at % 7 * 3)) for at, n in enumerate(TWELVE)]), 100, id="huge"
        ),
        pytest.param(0.0637, shelf([(1 + n * 1e-6, 20 + n) for n in range(12)]), 100, id="nearly equal sizes"),
        pytest.param(0.0637, shelf([(n - 0.035, n * 20) for n in TWELVE]), 1000, id="less a residue"),
        pytest.param(
            0.12345, shelf([(n / 1000, n * (2000 + n % 7)) for n in range(509, 12200, 1000)]), 10_000, id="odd"
        ),
    ],
)
def test_hostile_lists_end_within_few_nodes(demand, containers, nodes):
    """Nodes are counted, not seconds; passing the budget would raise."""
    found = cheapest(demand, containers, nodes=nodes)
    assert found == cheapest(demand, containers, nodes=100 * NODES)
    assert found.volume >= demand * (1 - 1.001e-9)


def test_what_cannot_be_proved_is_refused_with_a_remedy():
    near = [Container((1 + n * 1.234567e-7) / 1000, 1 + n * 1.234567e-7) for n in range(12)]
    with pytest.raises(TooManyContainers, match=r"from 12 container sizes.*100000 steps: give fewer sizes, or round"):
        cheapest(10.0005, near)
    assert issubclass(TooManyContainers, ValueError)


@given(UNEVEN, st.floats(1e-4, 0.2), st.integers(1, 60))
@settings(max_examples=100, deadline=None)
def test_a_small_budget_gives_the_same_answer_or_none(containers, demand, nodes):
    try:
        found = cheapest(demand, containers, nodes=nodes)
    except TooManyContainers:
        return
    assert found == cheapest(demand, containers)


@pytest.mark.parametrize(
    ("demand", "containers"),
    [
        *((demand, [Container(1.0, 1.0)]) for demand in (math.nan, math.inf, -1.0, 1e-31)),
        *((1.0, [Container(fill, 1.0)]) for fill in (0.0, -1.0, math.nan, math.inf)),
        *((1.0, [Container(1.0, 1.0), Container(1.0, cost)]) for cost in (0.0, -1.0, math.nan, math.inf)),
        (1.0, []),
    ],
)
def test_what_is_no_demand_or_container_is_refused(demand, containers):
    with pytest.raises(ValueError, match=r"must be|no container"):
        cheapest(demand, containers)
