"""Which containers are on offer, and what was assumed for the purchase."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import Offer
from latewood.declare import RecordLookup
from latewood.formulas.purchase import assumed_cost
from latewood.messages import Code, clause, refusal
from latewood.messages import Number as Ratio
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.records import Container
from latewood.records.places import region_of
from latewood.rules.waste import WasteRow, by_volume
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Confidence a purchase is made for where none is asked (design of the answer: nine jobs in ten need no second trip).
CONFIDENCE: Final = 0.9

#: The other likely confidence, to see if it matters.
EVEN_CHANCE: Final = 0.5

#: Where no jurisdiction is given, the market whose containers are taken; and another likely one, to see if it matters.
MARKET: Final = "us"
OTHER_MARKET: Final = "eu"


def offers_of(x: Inputs, ledger: Ledger, known: RecordLookup) -> tuple[tuple[Offer, ...], tuple[Offer, ...]]:
    """Return the containers on offer: the caller's, else the coating family's, else the region's.

    Where the region had to be assumed, return those of the other market too.
    """
    residue = x.residue or 0.0
    if not x.coating.bare and (not x.containers or x.containers[0].price is None):
        note = clause("price-rule", times=Ratio(assumed_cost(2.0) / assumed_cost(1.0)))
        ledger.use("input/containers/price", "volume^0.7", "judgement", note=note)
    if x.containers:
        return tuple(Offer(c.size, c.fill, (c.fill or c.size) - residue, c.price) for c in x.containers), ()
    if x.coating.bare:
        return (), ()
    if x.coating.container_sizes:
        return _stocked(x.coating.container_sizes, residue, ledger), ()
    region = region_of(known, x.jurisdiction)
    if region is not None:
        return _stocked(region.container_sizes, residue, ledger), ()
    here, there = (known.record("region", market).container_sizes for market in (MARKET, OTHER_MARKET))
    return _stocked(here, residue, ledger), _stocked(there, residue, Ledger("coverage"))


def _stocked(sizes: Sequence[Container], residue: float, ledger: Ledger) -> tuple[Offer, ...]:
    offers = []
    for container in sizes:
        size = spread.value(ledger.take(container.size))
        fill = None if container.fill is None else spread.value(ledger.take(container.fill))
        usable = (size if fill is None else fill) - residue
        if usable > 0:
            offers.append(Offer(size, fill, usable, None))
    if not offers:
        raise InputProblem([refusal("residue-of-every-container", "/residue")])
    return tuple(offers)


def assume(x: Inputs, *, elsewhere: float | None, other_confidence: float | None, ledger: Ledger) -> None:
    """Write down market and confidence where they were assumed, and by how much others change what is bought."""
    if elsewhere is not None:
        why = clause("no-place-given")
        if x.jurisdiction is not None:
            why = clause("no-region-for", jurisdiction=Code(x.jurisdiction))
        sizes = clause("sizes-of-region", region=Code(MARKET))
        ledger.default("containers", sizes, effect=elsewhere, output="purchase", why=why)
    if other_confidence is not None:
        why = clause("nine-in-ten")
        ledger.default("confidence", "90 %", effect=other_confidence, output="purchase", why=why)


def left(volume: Number, ledger: Ledger, known: RecordLookup) -> tuple[WasteRow, ...]:
    """Return the finish that is left when the job is done; nothing where it is used up."""
    return (by_volume("leftover-finish", volume, ledger, known, hazardous="no"),) if spread.high(volume) > 0 else ()
