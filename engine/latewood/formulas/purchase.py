"""Finds which set of containers covers a demand at the least cost.

This is the integer covering problem (the covering form of the unbounded knapsack): choose whole numbers n so that
sum(fill·n) is at least the demand and sum(cost·n) is least. The answer is exact, not a rule of thumb: taking the
largest container first is up to two thirds dearer on everyday price lists.

Method: depth-first branch and bound in order of cost per volume, as for the unbounded knapsack in S. Martello and
P. Toth, "Knapsack Problems: Algorithms and Computer Implementations", Wiley 1990, ch. 3 (recalled).

Complexity: the problem is NP-hard, so the work is counted in nodes (one count of one container tried) and stops at a
budget. What a node leads to is bounded by the cost per volume of what is left, by how many of one size are worth
having when a better size fills the same volume, and by what was reached before at no more cost. Price lists of up to
twelve sizes take 1 to 300 nodes, whatever the demand. What may pass the budget is six or more sizes without a common
step at one price per volume, or hundreds of containers of nearly equal sizes: very many mixes are then within a hair
of the same cost.
"""

from __future__ import annotations

import math
import operator
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

NODES = 100_000
"""The default budget of nodes: about a tenth of a second of Python."""

DEMAND_TOLERANCE = 1e-9
"""Share of the demand that may be missing, and by which volumes may differ and still be tied. It absorbs the rounding
of units, so a demand equal to a sum of fills is met by that sum: for 20 L it is 0.02 µL."""

COST_TOLERANCE = 1e-12
"""Purchases whose costs differ by less than this share are tied. It absorbs the rounding of decimal prices only."""

_SMALLEST, _LARGEST = 1e-30, 1e30
"""Limits on every number given: wide enough for any unit, narrow enough that no product overflows or vanishes."""

_ROUNDING = 1e-14
"""Share by which a sum of at most a few dozen float products may be off."""


class TooManyContainers(ValueError):
    """No cheapest purchase could be proved within the budget of nodes."""


@dataclass(frozen=True, slots=True)
class Container:
    """One size on sale: `fill` in m³ that can be used from one container, `cost` of one in any positive unit."""

    fill: float
    cost: float


@dataclass(frozen=True, slots=True)
class Purchase:
    """`counts` of containers in the order given, the `volume` in m³ they hold and their `cost`."""

    counts: tuple[int, ...]
    volume: float
    cost: float


def assumed_cost(fill: float) -> float:
    """Stand in for a price where none is known: the fill in litres to the power 0.7; `fill` in m³.

    A judgement of ours, no source: larger containers are cheaper per litre. At 0.7 twice the size costs 1.62 times as
    much. It ranks mixes of sizes; it is not money and must not be shown as such.
    """
    return float((fill * 1000) ** 0.7)


def cheapest(demand: float, containers: Sequence[Container], *, nodes: int = NODES) -> Purchase:
    """Find the cheapest set of containers that holds at least `demand`, in m³.

    Ties go to the least volume, then to the fewest containers, then to the most of the container cheapest per
    volume (the larger where equal, the earlier given where the same). Both tolerances of this module apply, and fills
    are compared to 13 significant digits. A demand of nothing buys nothing.

    Raises ValueError for numbers that are not positive and finite or where nothing is on sale, and TooManyContainers
    where the search would pass `nodes`; the answer is never approximate.
    """
    if demand == 0:
        return Purchase((0,) * len(containers), 0.0, 0.0)
    if not _SMALLEST <= demand <= _LARGEST:
        raise ValueError(f"the demand must be 0 or from {_SMALLEST:g} to {_LARGEST:g} m³, not {demand!r}")
    if not containers:
        raise ValueError("there is a demand, but no container is given")
    sizes = _prepared(tuple(containers))
    need = max(1, math.ceil(demand * (1 - DEMAND_TOLERANCE) / sizes.step))
    counts = [0] * len(containers)
    volume = cost = 0.0
    for at, count in zip(sizes.given, _search(sizes, need, nodes)[0], strict=True):
        counts[at] = count
        volume += count * containers[at].fill
        cost += count * containers[at].cost
    return Purchase(tuple(counts), volume, cost)


@dataclass(frozen=True, slots=True)
class _Sizes:
    """The containers worth buying, cheapest per volume first, and what bounds the search below each."""

    given: tuple[int, ...]  # place in the list given
    step: float  # m³
    fills: tuple[int, ...]  # whole steps
    costs: tuple[float, ...]
    most: tuple[float, ...]  # an optimum takes no more of this one
    ratio: tuple[float, ...]  # least cost of a step, from here on
    least: tuple[float, ...]  # least cost of one container, from here on
    largest: tuple[int, ...]  # largest fill, from here on
    reach: tuple[float, ...]  # the most volume an optimum takes, from here on


# Sizes and prices are the same from one demand to the next (coats, zones, quantiles), so they are prepared once.
@lru_cache(maxsize=256)
def _prepared(containers: tuple[Container, ...]) -> _Sizes:
    for each in containers:
        if not (_SMALLEST <= each.fill <= _LARGEST and _SMALLEST <= each.cost <= _LARGEST):
            raise ValueError(f"fill and cost of a container must be from {_SMALLEST:g} to {_LARGEST:g}, not {each!r}")
    every, step = _in_steps([each.fill for each in containers])
    by_volume = [each.cost / each.fill for each in containers]
    given = _not_dominated(every, [each.cost for each in containers], by_volume)
    fills, costs = [every[at] for at in given], [containers[at].cost for at in given]
    ratios = [cost / fill for fill, cost in zip(fills, costs, strict=True)]
    most = [_most_of(at, fills, [by_volume[each] for each in given]) for at in range(len(given))]
    return _Sizes(
        tuple(given),
        step,
        tuple(fills),
        tuple(costs),
        tuple(most),
        ratio=tuple(min(ratios[at:]) for at in range(len(given))),
        least=tuple(min(costs[at:]) for at in range(len(given))),
        largest=tuple(max(fills[at:]) for at in range(len(given))),
        reach=tuple(sum(map(operator.mul, most[at:], fills[at:])) for at in range(len(given))),
    )


def _in_steps(values: list[float]) -> tuple[list[int], float]:
    """Write values as whole multiples of their largest common step, so that sums are exact and equal ones meet."""
    # 13 digits survive a few float operations: 0.1 + 0.2 is read as 0.3.
    texts = [f"{value:.12e}".split("e") for value in values]
    lowest = min(int(exponent) for _, exponent in texts)
    whole = [int(digits.replace(".", "")) * 10 ** (int(exponent) - lowest) for digits, exponent in texts]
    common = math.gcd(*whole)
    return [each // common for each in whole], common * 10.0 ** (lowest - 12)


def _not_dominated(fills: list[int], costs: list[float], by_volume: list[float]) -> list[int]:
    """List the containers worth buying, cheapest per volume first, then larger, then earlier.

    One that costs more than as many of another as replace it is never bought. At the same cost both stay: the smaller
    volume wins the tie.
    """
    low = min(by_volume)
    kept: list[int] = []
    # Rounded, because containers at one price per volume must go by size and not by the last bit of the division.
    for at in sorted(range(len(fills)), key=lambda at: (round(by_volume[at] / low, 13), -fills[at], at)):
        fill, below = fills[at], costs[at] * (1 - COST_TOLERANCE)
        for other in kept:
            if -(-fill // fills[other]) * costs[other] < below or (fills[other], costs[other]) == (fill, costs[at]):
                break
        else:
            kept.append(at)
    return kept


def _most_of(at: int, fills: list[int], by_volume: list[float]) -> float:
    """Bound how many of one container an optimum takes.

    So many of it as fill a whole number of another, better one are replaced by that number: the volume is the same,
    and either the cost is less or the containers are fewer.
    """
    fill, below = fills[at], by_volume[at] * (1 - COST_TOLERANCE)
    better = [fills[other] for other in range(at) if by_volume[other] < below or fills[other] >= fill]
    return min((each // math.gcd(fill, each) - 1 for each in better), default=math.inf)


def _search(sizes: _Sizes, need: int, nodes: int) -> tuple[tuple[int, ...], int]:
    """Branch and bound for a need in whole steps; returns the counts and the nodes used."""
    fills, costs = sizes.fills, sizes.costs
    last = len(fills) - 1
    slack = int(need * DEMAND_TOLERANCE)
    # What is still to be covered -> cost and count of a purchase so far that has already been carried on from there.
    seen: list[dict[int, tuple[float, int]]] = [{} for _ in fills]
    path = [0] * len(fills)
    best: tuple[int, ...] = ()
    best_cost = lowest = limit = math.inf
    best_excess = best_count = used = 0

    def down(at: int, rest: int, cost: float, count: int) -> None:
        nonlocal best, best_cost, best_excess, best_count, lowest, limit, used
        fill, each, most = fills[at], costs[at], sizes.most[at]
        enough = -(-rest // fill)
        total = cost + enough * each
        if enough <= most and total <= limit:
            if total < lowest:
                lowest, limit = total, total * (1 + COST_TOLERANCE)
            excess, number = enough * fill - rest, count + enough
            if (
                best_cost > limit
                or excess < best_excess - slack
                or (excess <= best_excess + slack and number < best_count)
            ):
                path[at] = enough
                best, best_cost, best_excess, best_count = tuple(path), total, excess, number
                path[at] = 0
        if at == last:
            used += 1
            return
        below = at + 1
        ratio, least, largest, reach = sizes.ratio[below], sizes.least[below], sizes.largest[below], sizes.reach[below]
        taken = enough if enough <= most else int(most) + 1
        while taken:
            taken -= 1
            used += 1
            if used > nodes:
                raise TooManyContainers(
                    f"no cheapest purchase from {len(fills)} container sizes was proved in {nodes} steps: "
                    "give fewer sizes, or round their fills to a common step"
                )
            left = rest - taken * fill
            spent, number = cost + taken * each, count + taken
            bound = spent + left * ratio
            # Taking still less of this one only raises the bound and what is left, so there is nothing further on.
            if bound > limit or left > reach:
                break
            # A tie is the best to hope for, and it would take no fewer containers.
            if best_excess <= slack and number - (-left // largest) >= best_count and bound >= lowest * (1 - _ROUNDING):
                if fill >= largest:
                    break
                continue
            if spent + least > limit:
                continue
            before = seen[below].get(left)
            if before is not None and before[0] <= spent and before[1] <= number:
                continue
            seen[below][left] = spent, number
            path[at] = taken
            down(below, left, spent, number)
        path[at] = 0

    down(0, need, 0.0, 0)
    return best, used
