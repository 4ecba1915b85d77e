"""Finds which set of containers covers a demand at the least cost.

This is the integer covering problem (the covering form of the unbounded knapsack): choose whole numbers n so that
sum(fill·n) is at least the demand and sum(cost·n) is least. The answer is exact, not a rule of thumb: taking the
largest container first is up to two thirds dearer on everyday price lists.

Method: depth-first branch and bound in order of cost per volume, as for the unbounded knapsack in S. Martello and
P. Toth, "Knapsack Problems: Algorithms and Computer Implementations", Wiley 1990, ch. 3 (recalled).

Complexity: the problem is NP-hard in the number of sizes, so the work is counted in nodes (one count of one
container tried) and stops at a budget. A real price list takes tens of nodes, and the demand hardly matters: once
the saving per volume is used up, no further exchange can pay. What is slow is many sizes that differ by almost nothing
and cost the same per volume; states met before are recognised, so the nodes stay below a small multiple of
sizes × (demand / common step of the fills).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

NODES = 100_000
"""The default budget of nodes: about a tenth of a second."""

DEMAND_TOLERANCE = 1e-9
"""Share of the demand that may be missing. It absorbs the rounding of units, so a demand equal to a sum of fills
is met by that sum: for 20 L it is 0.02 µL."""

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
    for each in containers:
        if not (_SMALLEST <= each.fill <= _LARGEST and _SMALLEST <= each.cost <= _LARGEST):
            raise ValueError(f"fill and cost of a container must be from {_SMALLEST:g} to {_LARGEST:g}, not {each!r}")
    fills, step = _in_steps([each.fill for each in containers])
    need = max(1, math.ceil(demand * (1 - DEMAND_TOLERANCE) / step))
    useful = _not_dominated(fills, [each.cost for each in containers])
    best, _ = _search([fills[at] for at in useful], [containers[at].cost for at in useful], need, nodes)
    counts = [0] * len(containers)
    for at, count in zip(useful, best, strict=True):
        counts[at] = count
    return Purchase(
        counts=tuple(counts),
        volume=math.fsum(count * each.fill for count, each in zip(counts, containers, strict=True)),
        cost=math.fsum(count * each.cost for count, each in zip(counts, containers, strict=True)),
    )


@lru_cache(maxsize=1024)
def _decimal(value: float) -> tuple[int, int]:
    """Read a value as digits × 10^exponent, to the 13 digits that survive a few float operations."""
    digits, exponent = f"{value:.12e}".split("e")
    return int(digits.replace(".", "")), int(exponent) - 12


def _in_steps(values: list[float]) -> tuple[list[int], float]:
    """Write values as whole multiples of their largest common step, so that sums are exact and equal ones meet."""
    decimals = [_decimal(value) for value in values]
    lowest = min(exponent for _, exponent in decimals)
    whole = [digits * 10 ** (exponent - lowest) for digits, exponent in decimals]
    common = math.gcd(*whole)
    return [each // common for each in whole], common * 10.0**lowest


def _not_dominated(fills: list[int], costs: list[float]) -> list[int]:
    """List the containers worth buying, cheapest per volume first, then larger, then earlier.

    One that costs more than as many of another as replace it is never bought. At the same cost both stay: the smaller
    volume wins the tie.
    """
    ratios = [cost / fill for fill, cost in zip(fills, costs, strict=True)]
    low = min(ratios)
    order = sorted(range(len(fills)), key=lambda at: (round(ratios[at] / low, 13), -fills[at], at))
    kept: list[int] = []
    for at in order:
        fill, cost = fills[at], costs[at]
        for other in kept:
            if -(-fill // fills[other]) * costs[other] < cost * (1 - COST_TOLERANCE) or (
                fills[other] == fill and costs[other] == cost
            ):
                break
        else:
            kept.append(at)
    return kept


def _search(fills: list[int], costs: list[float], need: int, nodes: int) -> tuple[tuple[int, ...], int]:
    """Branch and bound over containers in order of cost per volume; fills and need are whole numbers of steps.

    Returns the counts and the number of nodes used.
    """
    last = len(fills) - 1
    own = [cost / fill for fill, cost in zip(fills, costs, strict=True)]
    ratios = [min(own[at:]) for at in range(last + 1)]
    caps = [need] * (last + 1)
    for at in range(1, last + 1):
        fill, ratio = fills[at], own[at] * (1 - COST_TOLERANCE)
        caps[at] = min(
            (fills[b] // math.gcd(fill, fills[b]) - 1 for b in range(at) if fills[b] >= fill or own[b] < ratio),
            default=need,
        )
    reach = [0] * (last + 2)
    for at in range(last, -1, -1):
        reach[at] = reach[at + 1] + caps[at] * fills[at]
    least = [min(costs[at:]) for at in range(last + 1)]
    largest = [max(fills[at:]) for at in range(last + 1)]
    seen: list[dict[int, tuple[float, int]]] = [{} for _ in fills]
    path = [0] * (last + 1)
    best: tuple[int, ...] = ()
    best_cost, best_excess, best_count = math.inf, 0, 0
    lowest = limit = math.inf
    used = 0

    def finish(cost: float, excess: int, count: int) -> None:
        nonlocal best, best_cost, best_excess, best_count, lowest, limit
        if cost > limit:
            return
        if cost < lowest:
            lowest, limit = cost, cost * (1 + COST_TOLERANCE)
        if best_cost > limit or (excess, count) < (best_excess, best_count):
            best, best_cost, best_excess, best_count = tuple(path), cost, excess, count

    def down(at: int, rest: int, cost: float, count: int) -> None:
        nonlocal used
        fill, each = fills[at], costs[at]
        most = -(-rest // fill)
        if most <= caps[at]:
            path[at] = most
            finish(cost + most * each, most * fill - rest, count + most)
        if at == last:
            used += 1
            path[at] = 0
            return
        below = at + 1
        ratio, dearest, big, known, far = ratios[below], least[below], largest[below], seen[below], reach[below]
        for taken in range(min(most - 1, caps[at]), -1, -1):
            used += 1
            if used > nodes:
                raise TooManyContainers(
                    f"no cheapest purchase of {len(fills)} sizes was found in {nodes} steps; "
                    "give fewer sizes, or round their fills to a common step"
                )
            left = rest - taken * fill
            spent = cost + taken * each
            bound = spent + left * ratio
            if bound > limit or left > far:
                break
            number = count + taken
            if best_excess == 0 and bound >= lowest * (1 - _ROUNDING) and number - (-left // big) >= best_count:
                if fill >= big:
                    break
                continue
            if spent + dearest > limit:
                continue
            before = known.get(left)
            if before is not None and before[0] <= spent and before[1] <= number:
                continue
            known[left] = spent, number
            path[at] = taken
            down(below, left, spent, number)
        path[at] = 0

    down(0, need, 0.0, 0)
    return best, used
