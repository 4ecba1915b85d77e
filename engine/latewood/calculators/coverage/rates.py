"""How far one coat goes on one kind of face: the rate of the pair, of the family, or what follows from the nearest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from latewood.declare import RecordLookup
from latewood.formulas.spreading import rate_as_applied, rate_on_other_wood
from latewood.provenance import Ledger, SIValue, Sourced
from latewood.quantities import units
from latewood.records import AbsorbencyClass, Coating, Pairing, Species
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Places of the surfaces in units of one step. From smooth to rough lie three steps, because the published rates of
#: the Wood Handbook (FPL-GTR-190, ch. 16) fall there by half, and three steps of `STEP` are about two. Judgement.
PLACES: Final = {"planed": 0, "sanded": 1, "rough-sawn": 4, "weathered": 5}

#: By how much each step away from a published rate widens its range, downwards and upwards. Judgement.
STEP: Final = 1.25


@dataclass(frozen=True)
class Nearest:
    """The published rate nearest to a face, and how the two differ.

    ``steps`` are those the range is widened by. ``here`` and ``there`` are how far a penetrating finish goes on this
    wood and on the one of the rate, where they differ and the classes say it.
    """

    number: Sourced
    surface: str
    absorbency: str
    steps: int
    here: Sourced | None = None
    there: Sourced | None = None

    @property
    def factor(self) -> float:
        """What the range is widened by, each way."""
        return STEP**self.steps

    @property
    def ratio(self) -> float:
        """How much further the finish goes on this wood, at the median."""
        return 1.0 if self.here is None or self.there is None else self.here.si / self.there.si


def pairing_of(coating: Coating, species: Species | None, surface: str, known: RecordLookup) -> Pairing | None:
    """Return what is known of this coating on this very species, where that takes in the surface."""
    if species is None:
        return None
    pairings: Iterable[Pairing] = known.records("pairing").values()
    found = (p for p in pairings if p.pair == (coating.id, species.id) and surface in p.spreading)
    return next(found, None)


def tabulated(
    coating: Coating, pairing: Pairing | None, surface: str, absorbency: str, ledger: Ledger, known: RecordLookup
) -> Number:
    """Return the rate of the first coat as a record states it (1/m): the pairing's, else the family's."""
    exact = pairing.spreading[surface] if pairing is not None else coating.spreading.get(surface, {}).get(absorbency)
    if exact is not None:
        return ledger.take(exact)
    near = nearest(coating, surface, absorbency, known)
    rate = ledger.take(near.number)
    if near.steps:
        low, high = (near.number.si if end is None else end for end in (near.number.low, near.number.high))
        # It moves with the rate it was taken from: the same lack of knowledge lies behind both.
        unknown = near.number.unknown or near.number.path
        rate = spread.lognormal(unknown, low / near.factor, near.number.si, high * near.factor)
    if near.here is not None and near.there is not None:
        numbers = {"relative_rate": ledger.take(near.here), "other_relative_rate": ledger.take(near.there)}
        rate = ledger.step(rate_on_other_wood, f"{surface}, {absorbency}", spreading_rate=rate, **numbers)
    _say_taken(coating, surface, absorbency, near, rate, ledger)
    return rate


def _say_taken(coating: Coating, surface: str, absorbency: str, near: Nearest, rate: Number, ledger: Ledger) -> None:
    """Write into the basis, and find, which published rate stood in and what was made of it."""
    path = f"{coating.path}/spreading/{surface}/{absorbency}"
    made = []
    if near.steps:
        made.append(f"its range is {near.factor:.2g} times as wide at each end")
    if near.here is not None:
        made.append(f"on this wood it goes {near.ratio:.0%} as far, by judgement")
    ledger.use(
        path,
        near.number.given,
        "judgement",
        note=f"no published rate; {near.number.path} taken; {'; '.join(made)}",
        si=SIValue(value=spread.value(rate), low=spread.low(rate), high=spread.high(rate), unit=near.number.unit),
    )
    ledger.find(
        "rate-extrapolated",
        "warning",
        f"No spreading rate is published for {coating.title} on {surface} wood of {absorbency} absorbency. That on "
        f"{near.surface} wood of {near.absorbency} absorbency ({near.number.given}) was taken; {'; '.join(made)}. "
        "Try a test patch.",
        pointer="/coating",
        path=path,
        nearest=near.number.path,
    )


def nearest(coating: Coating, surface: str, absorbency: str, known: RecordLookup) -> Nearest:
    """Return the published rate to go by: on the same surface if there is one, then on the nearest absorbency.

    The surface comes first, because the classes say what another wood changes. Of two woods as near, the one that
    takes more is taken, so that no less is bought.
    """
    classes: dict[str, AbsorbencyClass] = dict(known.records("absorbency"))
    order = classes[absorbency].order
    cells = [(s, a, number) for s, row in coating.spreading.items() for a, number in row.items()]

    def distance(cell: tuple[str, str, Sourced]) -> tuple[int, int, int]:
        other = classes[cell[1]].order
        return abs(PLACES[cell[0]] - PLACES[surface]), abs(other - order), -other

    found, wood, number = min(cells, key=distance)
    steps = abs(PLACES[found] - PLACES[surface])
    here, there = classes[absorbency].relative_rate, classes[wood].relative_rate
    # A film lies on the wood, and how much the wood would take up says nothing of it.
    if wood != absorbency and not coating.film and here is not None and there is not None:
        return Nearest(number, found, wood, steps, here, there)
    return Nearest(number, found, wood, steps + abs(classes[wood].order - order))


def as_applied(rate: Number, basis: str, wiped: Number, ledger: Ledger) -> Number:
    """Return the rate at which the coating is laid on; a rate of what is retained leaves out what is wiped off."""
    if basis == "applied" or (not isinstance(wiped, spread.Uncertain) and wiped == 0):
        return rate
    return ledger.step(rate_as_applied, retained_rate=rate, wiped_off=wiped)


def likely(coating: Coating, species: Species | None, surface: str, absorbency: str, known: RecordLookup) -> float:
    """Return the median of the rate a face would be reckoned with (1/m)."""
    pairing = pairing_of(coating, species, surface, known)
    if pairing is not None:
        return pairing.spreading[surface].si
    near = nearest(coating, surface, absorbency, known)
    return near.number.si * near.ratio


def effect(here: float, there: Iterable[float]) -> float:
    """Return the largest relative change of the volume that rates of other surfaces or woods would bring."""
    return max(abs(here / rate - 1) for rate in there)


def said(number: Number, unit: str, dimension: str) -> str:
    """Return a number as a basis line gives it: ``8 m2/L``, ``6-10 m2/L``."""
    low, high = (units.show(end, unit, dimension) for end in (spread.low(number), spread.high(number)))
    return f"{low:g} {unit}" if low == high else f"{low:g}-{high:g} {unit}"
