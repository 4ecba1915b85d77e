"""How far one coat goes on one kind of face: the rate of the pair, of the family, or the nearest there is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from latewood import spread, units
from latewood.declare import Known
from latewood.formulas.spreading import rate_as_applied
from latewood.provenance import Ledger, SIValue, Sourced
from latewood.records import Coating, Pairing, Species
from latewood.spread import Number

#: Places of the surfaces in units of one step. From smooth to rough lie three steps, because the published rates of
#: the Wood Handbook (FPL-GTR-190, ch. 16) fall there by half, and three steps of `STEP` are about two. Judgement.
PLACES: Final = {"planed": 0, "sanded": 1, "rough-sawn": 4, "weathered": 5}

#: By how much each step away from a published rate widens its range, downwards and upwards. Judgement.
STEP: Final = 1.25


def pairing_of(coating: Coating, species: Species | None, surface: str, known: Known) -> Pairing | None:
    """Return what is known of this coating on this very species, where that takes in the surface."""
    if species is None:
        return None
    pairings: Iterable[Pairing] = known.records("pairing").values()
    found = (p for p in pairings if p.pair == (coating.id, species.id) and surface in p.spreading)
    return next(found, None)


def tabulated(
    coating: Coating, pairing: Pairing | None, surface: str, absorbency: str, ledger: Ledger, known: Known
) -> Number:
    """Return the rate of the first coat as a record states it (1/m): the pairing's, else the family's."""
    exact = pairing.spreading[surface] if pairing is not None else coating.spreading.get(surface, {}).get(absorbency)
    if exact is not None:
        return ledger.take(exact)
    steps, near = nearest_cell(coating, surface, absorbency, known)
    factor = STEP**steps
    low, high = (near.si if end is None else end for end in (near.low, near.high))
    low, high = low / factor, high * factor
    path = f"{coating.path}/spreading/{surface}/{absorbency}"
    ledger.take(near)
    ledger.use(
        path,
        near.given,
        "judgement",
        note=f"no published rate; {near.path} taken, {steps} steps away, range widened by {STEP:g} a step both ways",
        si=SIValue(value=near.si, low=low, high=high, unit=near.unit),
    )
    ledger.find(
        "rate-extrapolated",
        "warning",
        f"No spreading rate is published for {coating.title} on {surface} wood of {absorbency} absorbency. The nearest "
        f"({near.given}, {'/'.join(near.path.split('/')[-2:])}) was taken and its range widened. Try a test patch.",
        pointer="/coating",
        path=path,
        nearest=near.path,
    )
    # It moves with the rate it was taken from: the same lack of knowledge lies behind both.
    return spread.lognormal(near.unknown or near.path, low, near.si, high)


def nearest_cell(coating: Coating, surface: str, absorbency: str, known: Known) -> tuple[int, Sourced]:
    """Return the published rate fewest steps away, the first in the record where several are, and how far it is."""
    orders = {id: record.order for id, record in known.records("absorbency").items()}
    cells = [
        (abs(PLACES[s] - PLACES[surface]) + abs(orders[a] - orders[absorbency]), number)
        for s, row in coating.spreading.items()
        for a, number in row.items()
    ]
    return min(cells, key=lambda cell: cell[0])


def as_applied(rate: Number, basis: str, wiped: Number, ledger: Ledger) -> Number:
    """Return the rate at which the coating is laid on; a rate of what is retained leaves out what is wiped off."""
    if basis == "applied" or (not isinstance(wiped, spread.Uncertain) and wiped == 0):
        return rate
    return ledger.step(rate_as_applied, retained_rate=rate, wiped_off=wiped)


def likely(coating: Coating, species: Species | None, surface: str, absorbency: str, known: Known) -> float:
    """Return the median of the rate a face would be reckoned with (1/m)."""
    pairing = pairing_of(coating, species, surface, known)
    return nearest_cell(coating, surface, absorbency, known)[1].si if pairing is None else pairing.spreading[surface].si


def effect(here: float, there: Iterable[float]) -> float:
    """Return the largest relative change of the volume that rates of other surfaces or woods would bring."""
    return max(abs(here / rate - 1) for rate in there)


def said(number: Number, unit: str, dimension: str) -> str:
    """Return a number as a basis line gives it: ``8 m2/L``, ``6-10 m2/L``."""
    low, high = (units.show(end, unit, dimension) for end in (spread.low(number), spread.high(number)))
    return f"{low:g} {unit}" if low == high else f"{low:g}-{high:g} {unit}"
