"""The cheapest set of containers, against worked rows, two integer solvers and number theory.

The prices of the worked rows are invented. Their optima were found twice outside this project's code: by dynamic
programming on a 0.25 step and by SciPy's milp (the HiGHS solver). HiGHS is also the oracle for drawn price lists, and
counting every mix is the oracle for the rule on ties.
"""

from __future__ import annotations

import math
import random
from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from latewood.formulas.purchase import Container, Purchase, assumed_cost, cheapest

METRIC = [(0.75, 26), (1, 31), (2.5, 64), (5, 115), (10, 212), (20, 400)]
US = [(0.25, 24), (1, 68), (5, 290)]
INVERTED = [(1, 20), (2.5, 60), (5, 110)]
LITRE, GALLON = 1e-3, 3.785411784e-3  # m³; the US gallon is 231 cubic inches (NIST SP 811, app. B.8)

# sizes, unit, demand, least cost, volume, mix, cost of taking the largest first
ROWS = [
    (METRIC, LITRE, 0.8, 31, 1.0, (0, 1, 0, 0, 0, 0), 52),
    (METRIC, LITRE, 1.6, 57, 1.75, (1, 1, 0, 0, 0, 0), 57),
    (METRIC, LITRE, 2.0, 62, 2.0, (0, 2, 0, 0, 0, 0), 62),
    (METRIC, LITRE, 3.3, 95, 3.5, (0, 1, 1, 0, 0, 0), 116),
    (METRIC, LITRE, 4.1, 115, 5.0, (0, 0, 0, 1, 0, 0), 121),
    (METRIC, LITRE, 6.2, 167, 6.5, (2, 0, 0, 1, 0, 0), 172),
    (METRIC, LITRE, 7.6, 203, 7.75, (1, 2, 0, 1, 0, 0), 205),
    (METRIC, LITRE, 9.3, 212, 10.0, (0, 0, 0, 0, 1, 0), 262),
    (METRIC, LITRE, 12.4, 276, 12.5, (0, 0, 1, 0, 1, 0), 300),
    (METRIC, LITRE, 14.0, 327, 15.0, (0, 0, 0, 1, 1, 0), 333),
    (METRIC, LITRE, 18.9, 400, 20.0, (0, 0, 0, 0, 0, 1), 448),
    (METRIC, LITRE, 23.0, 490, 23.25, (1, 0, 1, 0, 0, 1), 490),
    (METRIC, LITRE, 31.7, 669, 31.75, (1, 1, 0, 0, 1, 1), 669),
    (US, GALLON, 0.6, 68, 1.0, (0, 1, 0), 72),
    (US, GALLON, 1.3, 116, 1.5, (2, 1, 0), 116),
    (US, GALLON, 2.6, 204, 3.0, (0, 3, 0), 208),
    (US, GALLON, 4.1, 290, 5.0, (0, 0, 1), 296),
    (US, GALLON, 4.9, 290, 5.0, (0, 0, 1), 368),
    (US, GALLON, 6.8, 426, 7.0, (0, 2, 1), 454),
    (US, GALLON, 8.9, 562, 9.0, (0, 4, 1), 590),
    (US, GALLON, 9.4, 580, 10.0, (0, 0, 2), 610),
    (US, GALLON, 11.2, 672, 11.25, (1, 1, 2), 672),
]


def shelf(sizes, unit=LITRE):
    return [Container(fill=size * unit, cost=float(cost)) for size, cost in sizes]


def largest_first(demand, sizes):
    """Take the largest size that is not too much, over and over, then one of the smallest for what is left."""
    cost = 0.0
    for size, price in sorted(sizes, reverse=True):
        count = math.floor(demand / size + 1e-9)
        demand, cost = demand - count * size, cost + count * price
    return cost + (min(sizes)[1] if demand > 1e-9 else 0)


def solver(demand, containers):
    """Return the least cost by scipy.optimize.milp (HiGHS); its counts are near-integers, so they are rounded."""
    fills, costs = np.array([(each.fill, each.cost) for each in containers]).T
    cover = LinearConstraint(fills[None, :] / demand, lb=1 - 1e-9)
    found = milp(costs, constraints=cover, integrality=np.ones(len(costs)), options={"mip_rel_gap": 0})
    assert found.success
    return float(np.round(found.x) @ costs)


@pytest.mark.parametrize(("sizes", "unit", "demand", "cost", "volume", "mix", "greedy"), ROWS)
def test_worked_rows(sizes, unit, demand, cost, volume, mix, greedy):
    found = cheapest(demand * unit, shelf(sizes, unit))
    # Whole prices add up exactly; a volume is a float sum, good to the last bits.
    assert (found.counts, found.cost) == (mix, cost)
    assert found.volume == pytest.approx(volume * unit, rel=1e-14)
    assert solver(demand * unit, shelf(sizes, unit)) == cost
    assert largest_first(demand, sizes) == greedy >= cost


@pytest.mark.parametrize(("demand", "cost", "volume", "mix"), [(4.2, 100, 4.5, (2, 1, 0)), (7.1, 160, 7.5, (5, 1, 0))])
def test_a_small_container_on_offer_leaves_ties_and_the_least_volume_wins(demand, cost, volume, mix):
    found = cheapest(demand, [Container(size, price) for size, price in INVERTED])
    assert found == Purchase(mix, volume, cost)
    # The rows again with prices and sizes that no float holds exactly: rounding must not break the tie.
    for part in (3, 7, 10, 1.1):
        uneven = [Container(size / part, price / part) for size, price in INVERTED]
        assert cheapest(demand / part, uneven).counts == mix


# Numbers that are no sum of 6, 9 and 20: OEIS A065003 (number and terms recalled).
NO_SUM = {1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43}


def test_one_price_per_volume_meets_every_demand_that_is_a_sum_of_fills():
    by_volume = [Container(float(size), float(size)) for size in (6, 9, 20)]
    assert {n for n in range(1, 120) if cheapest(float(n), by_volume).volume > n} == NO_SUM


@pytest.mark.parametrize(("a", "b"), [(3, 5), (7, 11), (16, 37), (101, 103)])
def test_two_coprime_fills_leave_as_many_gaps_as_sylvester_proved(a, b):
    """Sylvester 1884: of the numbers up to the largest gap, ab − a − b, exactly half, (a − 1)(b − 1)/2, are gaps."""
    by_volume = [Container(float(a), float(a)), Container(float(b), float(b))]
    largest = a * b - a - b
    gaps = [n for n in range(1, largest + 30) if cheapest(float(n), by_volume).volume > n]
    assert (gaps[-1], len(gaps)) == (largest, (a - 1) * (b - 1) // 2)


def test_a_demand_equal_to_a_sum_is_met_by_it():
    assert cheapest(0.002, shelf(METRIC)).volume == 0.002
    assert cheapest(0.005, shelf(METRIC)).counts == (0, 0, 0, 1, 0, 0)
    assert cheapest(0.1 + 0.2, [Container(0.3, 1.0)]).counts == (1,)
    assert cheapest(0.3, [Container(0.1, 1.0)]).counts == (3,)
    # Four quarts at the price of a gallon are a tie in cost and volume, which the fewest containers win.
    assert cheapest(GALLON, [Container(GALLON / 4, 17.0), Container(GALLON, 68.0)]).counts == (0, 1)


@pytest.mark.parametrize(("more", "count"), [(5e-10, 4), (2e-9, 5)])
def test_the_tolerance_on_demand_is_what_it_says(more, count):
    assert cheapest(0.02 * (1 + more), [Container(0.005, 115.0)]).counts == (count,)


def test_no_demand_buys_nothing():
    assert cheapest(0, shelf(US)) == Purchase((0, 0, 0), 0.0, 0.0)
    assert cheapest(0.0, []) == Purchase((), 0.0, 0.0)


def test_of_the_same_container_twice_the_first_is_taken():
    assert cheapest(0.004, [Container(0.002, 50.0), Container(0.002, 50.0)]).counts == (2, 0)


FILLS = st.integers(1, 80).map(lambda quarters: quarters / 4 * LITRE)
PRICED = st.lists(st.builds(Container, FILLS, st.integers(1, 40000).map(float)), min_size=1, max_size=6)
UNEVEN = st.lists(st.builds(Container, st.floats(1e-4, 2e-2), st.floats(1, 500)), min_size=1, max_size=12)
ASSUMED = st.lists(FILLS.map(lambda fill: Container(fill, assumed_cost(fill))), min_size=1, max_size=12)


@given(PRICED | UNEVEN | ASSUMED, st.floats(1e-4, 0.2))
@settings(max_examples=150, deadline=None)
def test_cost_is_that_of_the_integer_solver(containers, demand):
    found = cheapest(demand, containers)
    assert found.cost == pytest.approx(solver(demand, containers), rel=1e-6)
    assert found.cost == pytest.approx(sum(n * each.cost for n, each in zip(found.counts, containers, strict=True)))
    assert found.volume == pytest.approx(sum(n * each.fill for n, each in zip(found.counts, containers, strict=True)))
    assert found.volume >= demand * (1 - 1.001e-9)


WHOLE = st.lists(st.tuples(st.integers(1, 9), st.integers(1, 12)), min_size=1, max_size=3, unique=True)


@given(WHOLE, st.integers(1, 20))
@settings(max_examples=200, deadline=None)
def test_ties_follow_the_rule_among_all_mixes(sizes, demand):
    canonical = sorted(range(len(sizes)), key=lambda at: (Fraction(sizes[at][1], sizes[at][0]), -sizes[at][0]))

    def rank(mix):
        volume, cost = (sum(n * size[of] for n, size in zip(mix, sizes, strict=True)) for of in (0, 1))
        return (cost, volume, sum(mix), [-mix[at] for at in canonical]) if volume >= demand else (math.inf,)

    best = min(product(*(range(-(-demand // fill) + 1) for fill, _ in sizes)), key=rank)
    # Tenths and thirds of the sizes and prices rank the same, though floats hold neither.
    for part in (1, 10, 3):
        assert cheapest(demand / part, [Container(f / part, c / part) for f, c in sizes]).counts == best


def ranks_by_programming(sizes, demand):
    """Return (cost, volume, containers) of the best purchase for every demand up to one, by dynamic programming."""
    best = [(0, 0, 0)]
    for need in range(1, demand + 1):
        before = [(best[max(0, need - fill)], fill, cost) for fill, cost in sizes]
        best.append(min((paid + cost, volume + fill, count + 1) for (paid, volume, count), fill, cost in before))
    return best


@pytest.mark.parametrize("part", [1, 10, 3, 7])
def test_ties_follow_the_rule_by_dynamic_programming(part):
    """Six hundred lists drawn with a fixed seed, full of ties: few whole prices, many at one price per volume."""
    draw = random.Random(20)
    for _ in range(600):
        fills = draw.sample(range(1, 25), draw.randint(2, 6))
        sizes = [(fill, draw.choice((fill, fill, fill + draw.randint(0, 3), fill // 2 + 1))) for fill in fills]
        containers = [Container(fill / part, cost / part) for fill, cost in sizes]
        ranks = ranks_by_programming(sizes, 60)
        for demand in draw.sample(range(1, 61), 6):
            found = cheapest(demand / part, containers)
            mix = [(n * cost, n * fill, n) for n, (fill, cost) in zip(found.counts, sizes, strict=True)]
            assert tuple(map(sum, zip(*mix, strict=True))) == ranks[demand], (sizes, demand)


@pytest.mark.parametrize(
    ("sizes", "demand", "mix"),
    [
        ([(3, 3), (10, 11), (1, 2)], 10, (0, 1, 0)),  # 3 × 3 + 1 holds 10 for 11 as well
        ([(2, 2), (9, 7), (4, 3)], 47, (0, 3, 5)),  # so does 2 + 9 + 9 × 4, in eleven containers
        ([(3, 4), (13, 15), (23, 26)], 153, (1, 1, 6)),  # so does 3 × 13 + 5 × 23, in eight; 23 is cheapest by volume
        ([(2, 2), (1, 1), (10, 7), (6, 4)], 33, (0, 1, 2, 2)),  # so does 2 + 1 + 5 × 6, in seven
        ([(24, 26), (10, 11), (5, 6), (13, 15)], 75, (0, 7, 1, 0)),  # 24 + 2 × 10 + 5 + 2 × 13 holds 75 for 84
    ],
)
def test_rows_on_which_a_search_that_drops_too_much_goes_wrong(sizes, demand, mix):
    """The optimum again by dynamic programming; each row fails if one condition of the search is loosened."""
    cost, volume, count = ranks_by_programming(sizes, demand)[demand]
    assert cheapest(demand, [Container(*size) for size in sizes]) == Purchase(mix, volume, cost)
    assert sum(mix) == count


@given(PRICED | ASSUMED, st.integers(1, 400), st.integers(0, 100))
@settings(max_examples=100, deadline=None)
def test_more_demand_never_costs_less(containers, quarters, more):
    less = cheapest(quarters / 4000, containers).cost
    assert cheapest((quarters + more) / 4000, containers).cost >= less * (1 - 1e-12)


@given(WHOLE, st.integers(1, 200), st.sampled_from([1e-6, 0.5, 3, 1000]), st.sampled_from([0.01, 7, 1e6]))
@settings(max_examples=100, deadline=None)
def test_units_of_volume_and_money_change_no_count(sizes, demand, unit, money):
    plain = cheapest(float(demand), [Container(fill, cost) for fill, cost in sizes])
    scaled = cheapest(demand * unit, [Container(fill * unit, cost * money) for fill, cost in sizes])
    assert plain.counts == scaled.counts


@given(st.permutations(shelf(METRIC)), st.integers(1, 120))
@settings(max_examples=50, deadline=None)
def test_the_order_given_does_not_matter(containers, quarters):
    bought = dict(zip(containers, cheapest(quarters / 4000, containers).counts, strict=True))
    assert tuple(bought[each] for each in shelf(METRIC)) == cheapest(quarters / 4000, shelf(METRIC)).counts


def test_the_assumed_cost_is_the_stated_power_of_litres():
    """A judgement of ours, no source. 10^0.7 = 5.0119 and 2^0.7 = 1.6245 by hand (logarithms)."""
    assert assumed_cost(0.001) == pytest.approx(1)
    assert assumed_cost(0.01) == pytest.approx(5.0119, abs=5e-5)
    assert assumed_cost(0.02) / assumed_cost(0.01) == pytest.approx(1.6245, abs=5e-5)
