"""Which containers to buy for a demand that is known only by its chances."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from latewood.calculators.coverage.fields import ContainerCount, Purchase
from latewood.calculators.coverage.inputs import Inputs
from latewood.declare import Packs, RecordLookup
from latewood.formulas import purchase
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.quantities import money
from latewood.quantities.money import Money
from latewood.records import Container as Stocked
from latewood.records import Region
from latewood.records.places import region_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Confidence a purchase is made for where none is asked (design of the answer: nine jobs in ten need no second trip).
CONFIDENCE: Final = 0.9

#: A demand that equals what is bought up to rounding is met; twice what the purchase itself may leave missing.
_ROUNDING: Final = 2 * purchase.DEMAND_TOLERANCE

#: A nanolitre. Less than that is nothing to buy. In m3.
_NOTHING: Final = 1e-12

#: Where no jurisdiction is given, the market whose containers are taken; and another likely one, to see if it matters.
MARKET: Final = "us"
OTHER_MARKET: Final = "eu"


@dataclass(frozen=True)
class Offer:
    """A container that can be bought; ``usable`` is what comes out of it."""

    size: float
    fill: float | None
    usable: float
    price: Money | None


def buy(x: Inputs, volume: Number, ledger: Ledger, known: RecordLookup) -> tuple[tuple[ContainerCount, ...], Purchase]:
    """Return the cheapest containers that hold the volume at the confidence asked for, and what to expect of them."""
    confidence = CONFIDENCE if x.confidence is None else x.confidence
    if x.coating.bare:
        return (), _nothing(x, confidence)
    demand = _demand(x, volume, confidence)
    offers = _offers(x, demand, ledger, known)
    counts = _solve(demand, offers)
    if x.confidence is None:
        at_median = _usable(offers, _solve(_demand(x, volume, 0.5), offers))
        effect = _change(_usable(offers, counts), at_median)
        why = "so that nine jobs in ten need no second trip; the other likely choice is an even chance"
        ledger.default("confidence", "90 %", effect=effect, why=why)
    bought = _usable(offers, counts)
    have = bought + (x.on_hand or 0.0)
    rows = tuple(_row(offer, count) for offer, count in zip(offers, counts, strict=True) if count)
    costs = [row.cost for row in rows if row.cost is not None]
    currency = next((offer.price.currency for offer in offers if offer.price is not None), None)
    found = Purchase(
        text=Packs(tuple((row.count, row.size) for row in rows)),
        confidence=confidence,
        volume=bought,
        left_over=spread.maximum(have - volume, 0.0),
        shortage_risk=spread.exceedance(volume, max(have * (1 + _ROUNDING), _NOTHING)),
        cost=None if currency is None else money.total(costs, currency),
    )
    return rows, found


def _nothing(x: Inputs, confidence: float) -> Purchase:
    """Return the purchase for a finish of which none is put on."""
    priced = x.containers[0].price if x.containers else None
    return Purchase(
        text=Packs(()),
        confidence=confidence,
        volume=0.0,
        left_over=x.on_hand or 0.0,
        shortage_risk=0.0,
        cost=None if priced is None else money.total([], priced.currency),
    )


def _demand(x: Inputs, volume: Number, confidence: float) -> float:
    lacking = spread.quantile(volume, confidence) - (x.on_hand or 0.0)
    return lacking if lacking > _NOTHING else 0.0


def _offers(x: Inputs, demand: float, ledger: Ledger, known: RecordLookup) -> tuple[Offer, ...]:
    """Return the containers on offer: the caller's, else the coating family's, else the region's."""
    residue = x.residue or 0.0
    if x.containers:
        offers = tuple(Offer(c.size, c.fill, (c.fill or c.size) - residue, c.price) for c in x.containers)
        if x.containers[0].price is None:
            _say_assumed(ledger)
        return offers
    _say_assumed(ledger)
    if x.coating.container_sizes:
        return _stocked(x.coating.container_sizes, residue, ledger)
    region, assumed = market(x.jurisdiction, known)
    offers = _stocked(region.container_sizes, residue, ledger)
    if assumed:
        other = _stocked(known.record("region", OTHER_MARKET).container_sizes, residue, Ledger("coverage"))
        effect = _change(_usable(offers, _solve(demand, offers)), _usable(other, _solve(demand, other)))
        why = "for want of a jurisdiction" if x.jurisdiction is None else f"no region takes in {x.jurisdiction}"
        ledger.default("containers", f"sizes sold in the region {region.id}", effect=effect, why=why)
    return offers


def _stocked(sizes: Sequence[Stocked], residue: float, ledger: Ledger) -> tuple[Offer, ...]:
    offers = []
    for container in sizes:
        size = spread.value(ledger.take(container.size))
        fill = None if container.fill is None else spread.value(ledger.take(container.fill))
        usable = (size if fill is None else fill) - residue
        if usable > 0:
            offers.append(Offer(size, fill, usable, None))
    if not offers:
        detail = "this residue leaves nothing usable in any container on sale"
        raise InputProblem([Fault(pointer="/residue", code="conflict", detail=detail, expected="a smaller residue")])
    return tuple(offers)


def market(jurisdiction: str | None, known: RecordLookup) -> tuple[Region, bool]:
    """Return the region a jurisdiction lies in, and whether it had to be assumed."""
    region = region_of(known, jurisdiction)
    return (known.record("region", MARKET), True) if region is None else (region, False)


def _say_assumed(ledger: Ledger) -> None:
    ledger.use(
        "input/containers/price",
        "volume^0.7",
        "judgement",
        note="no prices were given; a container twice as large is taken to cost 2^0.7 = 1.62 times as much",
    )
    message = (
        "No prices were given, so the containers were chosen as if cost grew with volume to the power 0.7. "
        "With your prices another mix may be cheaper."
    )
    ledger.find("prices-assumed", "note", message, pointer="/containers")


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
        detail = f"which of these {len(offers)} sizes are cheapest together was not proved in {purchase.NODES} steps"
        expected = "fewer sizes, or fills rounded to a common step"
        raise InputProblem([Fault(pointer="/containers", code="conflict", detail=detail, expected=expected)]) from None


def _usable(offers: Sequence[Offer], counts: Sequence[int]) -> float:
    return sum(offer.usable * count for offer, count in zip(offers, counts, strict=True))


def _change(here: float, there: float) -> float:
    return abs(there / here - 1) if here > 0 else 0.0


def _row(offer: Offer, count: int) -> ContainerCount:
    cost = None if offer.price is None else offer.price.times(count)
    return ContainerCount(size=offer.size, fill=offer.fill, count=count, price=offer.price, cost=cost)
