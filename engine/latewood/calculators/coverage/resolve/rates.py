"""Which rate holds for one kind of face: the data sheet's, the pair's, the family's, or one made of the nearest."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from latewood.calculators.coverage.fields import Product
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import FaceGroup, Key, ResolvedFace
from latewood.declare import RecordLookup, dimension_of
from latewood.formulas.spreading import rate_on_other_wood
from latewood.messages import Clause, Limit, Rate, Share, Titled, Word, clause
from latewood.messages import Number as Bare
from latewood.provenance import Ledger, SIValue, Sourced
from latewood.quantities import units
from latewood.quantities.spellings import DIMENSIONS
from latewood.records import AbsorbencyClass, Coating, Pairing, Species
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Places of the surfaces in units of one step. From smooth to rough lie three steps, because the published rates of
#: the Wood Handbook (FPL-GTR-190, ch. 16) fall there by half, and three steps of `STEP` are about two. Judgement.
PLACES: Final = {"planed": 0, "sanded": 1, "rough-sawn": 4, "weathered": 5}

#: By how much each step away from a published rate widens its range, downwards and upwards. Judgement.
STEP: Final = 1.25

#: Stands for the data sheet where there is none.
NO_SHEET: Final = Product()


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


def by_family(product: Product) -> bool:
    """Say whether the coating family's rates hold, because the data sheet gives neither a rate nor a film to lay on."""
    return product.spreading_rate is None and product.dry_film_thickness is None


def groups_of(
    x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger, known: RecordLookup
) -> tuple[FaceGroup, ...]:
    """Return the faces in groups that take the coating alike, each with the rate of its first coat."""
    alike: dict[Key, list[ResolvedFace]] = {}
    for face in faces if coats else ():
        alike.setdefault(face.key, []).append(face)
    areas = [(group[0], sum(face.area for face in group)) for group in alike.values()]
    return tuple(_group(x, face, area, coats, ledger, known) for face, area in areas if area > 0)


def _group(x: Inputs, face: ResolvedFace, area: float, coats: int, ledger: Ledger, known: RecordLookup) -> FaceGroup:
    coating, product, basis = x.coating, x.product or NO_SHEET, x.coating.rate_basis
    wiped = ledger.take(known.record("absorbency", face.absorbency).wiped_off) if coating.wiped else 0.0
    rate, dry = product.spreading_rate, product.dry_film_thickness
    woods: dict[str, Number] = {}
    later = None
    if rate is not None:
        basis = product.rate_basis or basis
        from_sheet(ledger, "spreading_rate", rate, "m2/L", clause("sheet-rate", basis=Word("rate-basis", basis)))
    elif dry is not None and product.volume_solids is not None:
        rate, basis = dry, "applied"
        from_sheet(ledger, "dry_film_thickness", dry, "um", clause("sheet-one-coat"))
        from_sheet(ledger, "volume_solids", product.volume_solids, "%", clause("sheet-before-thinning"))
    else:
        if face.pairing is not None:
            rate, basis = ledger.take(face.pairing.spreading[face.surface]), face.pairing.rate_basis or basis
        else:
            rate, woods = _tabulated(coating, face, ledger, known)
        later = ledger.take(coating.later_coat_share) if coats > 1 and coating.later_coat_share is not None else None
    by_film = product.spreading_rate is None and dry is not None
    return FaceGroup(face, area, wiped, rate, by_film, basis, woods, later)


def _tabulated(
    coating: Coating, face: ResolvedFace, ledger: Ledger, known: RecordLookup
) -> tuple[Number, dict[str, Number]]:
    """Return the family's rate of the first coat (1/m), and the relative rates of two woods where it is another's."""
    surface, absorbency = face.surface, face.absorbency
    near = nearest(coating, surface, absorbency, known)
    rate = ledger.take(near.number)
    made = []
    if near.steps:
        low, high = (near.number.si if end is None else end for end in (near.number.low, near.number.high))
        # It moves with the rate it was taken from: the same lack of knowledge lies behind both.
        unknown, factor = near.number.unknown or near.number.path, STEP**near.steps
        rate = spread.lognormal(unknown, low / factor, near.number.si, high * factor)
        made.append(clause("rate-widened", factor=Bare(factor)))
    woods: dict[str, Number] = {}
    if near.here is not None and near.there is not None:
        woods = {"relative_rate": ledger.take(near.here), "other_relative_rate": ledger.take(near.there)}
        made.append(clause("rate-of-other-wood", ratio=Share(near.ratio)))
    if not made:
        return rate, woods
    there = rate_on_other_wood(spreading_rate=rate, **woods) if woods else rate
    path, number = f"{coating.path}/spreading/{surface}/{absorbency}", near.number
    wood = {"surface": Word("surface", near.surface), "absorbency": Word("absorbency", near.absorbency)}
    note = clause("rate-note", made=made, **wood)
    ledger.use(path, number.given, "judgement", note=note, si=SIValue.of(there, number.unit))
    ledger.find(
        "rate-extrapolated",
        pointer="/coating",
        params={"path": path, "nearest": number.path},
        coating=Titled(coating),
        surface=Word("surface", surface),
        absorbency=Word("absorbency", absorbency),
        near_surface=Word("surface", near.surface),
        near_absorbency=Word("absorbency", near.absorbency),
        rate=Limit(number.given, Rate(number.si)),
        made=made,
    )
    return rate, woods


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


def from_sheet(ledger: Ledger, field: str, number: Number, unit: str, note: Clause) -> None:
    """Write into the basis a number the caller read from the product's data sheet."""
    si = SIValue.of(number, DIMENSIONS[dimension_of(unit)].si)
    ledger.use(f"input/product/{field}", quoted(number, unit), "product-sheet", note=note, si=si)


def quoted(number: Number, unit: str) -> str:
    """Return a number as a basis line gives it: ``8 m2/L``, ``6-10 m2/L``."""
    low, high = (units.show(end, unit, dimension_of(unit)) for end in (spread.low(number), spread.high(number)))
    return f"{low:g} {unit}" if low == high else f"{low:g}-{high:g} {unit}"
