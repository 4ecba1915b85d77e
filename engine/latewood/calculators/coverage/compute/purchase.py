"""Which containers to buy for a demand that is known only by its chances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from latewood.calculators.coverage.fields import ContainerCount, Purchase
from latewood.calculators.coverage.resolved import Offer, Resolved
from latewood.declare import Packs
from latewood.formulas import purchase
from latewood.messages import Count, refusal
from latewood.problems import InputProblem
from latewood.quantities import money
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: A demand that equals what is bought up to rounding is met; twice what the purchase itself may leave missing.
_ROUNDING: Final = 2 * purchase.DEMAND_TOLERANCE

#: A nanolitre. Less than that is nothing to buy. In m3.
_LEAST_VOLUME: Final = 1e-12


@dataclass(frozen=True)
class Bought:
    """What to buy, and by how much another market or confidence would change it, where either was assumed."""

    containers: tuple[ContainerCount, ...]
    purchase: Purchase
    elsewhere: float | None
    other_confidence: float | None


def buy(r: Resolved, volume: Number) -> Bought:
    """Return the cheapest containers that hold the volume at the confidence asked for, and what to expect of them."""
    demand = _demand(r, volume, r.confidence)
    counts = _solve(demand, r.offers)
    bought = _usable(r.offers, counts)
    have = bought + r.on_hand
    rows = tuple(_row(offer, count) for offer, count in zip(r.offers, counts, strict=True) if count)
    costs = [row.cost for row in rows if row.cost is not None]
    currency = next((offer.price.currency for offer in r.offers if offer.price is not None), None)
    found = Purchase(
        text=Packs(tuple((row.count, row.size) for row in rows)),
        confidence=r.confidence,
        volume=bought,
        left_over=spread.maximum(have - volume, 0.0),
        shortage_risk=spread.exceedance(volume, max(have * (1 + _ROUNDING), _LEAST_VOLUME)),
        cost=None if currency is None else money.total(costs, currency),
    )
    elsewhere = _change(bought, demand, r.elsewhere) if r.elsewhere else None
    other = r.other_confidence
    return Bought(
        rows, found, elsewhere, None if other is None else _change(bought, _demand(r, volume, other), r.offers)
    )


def _demand(r: Resolved, volume: Number, confidence: float) -> float:
    lacking = spread.quantile(volume, confidence) - r.on_hand
    return lacking if lacking > _LEAST_VOLUME else 0.0


def _solve(demand: float, offers: Sequence[Offer]) -> tuple[int, ...]:
    containers = [
        purchase.Container(
            fill=offer.usable,
            cost=purchase.assumed_cost(offer.fill or offer.size) if offer.price is None else float(offer.price.amount),
        )
        for offer in offers
    ]
    try:
        return tuple(purchase.cheapest(demand, containers).counts)
    except purchase.TooManyContainers:
        sizes, steps = Count(len(offers)), Count(purchase.NODES)
        raise InputProblem([refusal("purchase-not-proved", "/containers", sizes=sizes, steps=steps)]) from None


def _usable(offers: Sequence[Offer], counts: Sequence[int]) -> float:
    return sum((offer.usable * count for offer, count in zip(offers, counts, strict=True)), 0.0)


def _change(here: float, demand: float, offers: Sequence[Offer]) -> float:
    return abs(_usable(offers, _solve(demand, offers)) / here - 1) if here > 0 else 0.0


def _row(offer: Offer, count: int) -> ContainerCount:
    cost = None if offer.price is None else offer.price.times(count)
    return ContainerCount(size=offer.size, fill=offer.fill, count=count, price=offer.price, cost=cost)
