"""The faces sorted into lots that take the coating alike, and what is laid on each."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage import rates
from latewood.calculators.coverage.fields import Face
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.over import faces_to_coat
from latewood.calculators.coverage.resolved import FaceGroup, Key, ResolvedFace, quantiles
from latewood.calculators.coverage.uptake import say_uptake, uptake_of
from latewood.declare import RecordLookup
from latewood.formulas.film import rate_from_film, thinned_solids
from latewood.formulas.spreading import later_coat_volume, rate_at_uptake, volume_laid_on
from latewood.provenance import Ledger, SIValue
from latewood.records import Coating
from latewood.records.coating import SURFACES, Surface
from latewood.rules.faces import out_of_reach
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: The absorbency taken where no species is given: the middle one, so that neither neighbour is far.
MIDDLE = "medium"


def spots(x: Inputs, ledger: Ledger, known: RecordLookup) -> tuple[ResolvedFace, ...]:
    """Return the faces with defaults put in; what the defaults do to the answer goes into the ledger."""
    settled, left, bare_surface = [], [], False
    for index, face in faces_to_coat(x, ledger):
        species = face.species or x.species
        absorbency = species.absorbency if species is not None else MIDDLE
        surface = face.surface or x.surface or "sanded"
        if face.surface is None and surface == "sanded" and out_of_reach(face.part, face.side):
            surface = "weathered"
            ledger.use(f"input/faces/{index}/surface", surface, "default", note="sanding does not reach it")
            left.append(face)
        elif face.surface is None and x.surface is None:
            bare_surface = True
        pairing = rates.pairing_of(x.coating, species, surface, known) if by_family(x) else None
        taken = uptake_of(x, face, surface)
        spot = ResolvedFace(
            face.zone, face.part, face.area, absorbency, surface, species, pairing, face.side, taken, face.item
        )
        settled.append(spot)
    say_uptake(x, settled, ledger)
    if by_family(x) and not x.coating.bare:
        bare_species = any(spot.species is None for spot in settled)
        _say_defaults(x.coating, settled, bare_species, bare_surface, ledger, known)
        _say_left(left, ledger)
    return tuple(settled)


def _say_left(left: Sequence[Face], ledger: Ledger) -> None:
    """Say which faces were taken as weathered because nobody sands them."""
    if not left:
        return
    area = sum(face.area for face in left)
    names = sorted({f"{face.zone}: {face.part}" + (f", {face.side}" if face.side else "") for face in left})
    message = (
        f"Sanding does not reach {'; '.join(names)} ({area:.3g} m2 in all): they were reckoned as weathered, not as "
        "smooth as the rest. If they are sanded too, give their surface."
    )
    ledger.find("faces-left-weathered", "note", message, pointer="/faces", faces=names, area=round(area, 3))


def by_family(x: Inputs) -> bool:
    """Say whether the coating family's rates hold, because the data sheet gives neither a rate nor a film to lay on."""
    return x.product is None or (x.product.spreading_rate is None and x.product.dry_film_thickness is None)


def theoretical(x: Inputs) -> bool:
    """Say whether the rate is computed from the film wanted, so that no loss is in it."""
    return not by_family(x) and x.product is not None and x.product.spreading_rate is None


def _say_defaults(
    coating: Coating,
    settled: Sequence[ResolvedFace],
    bare_species: bool,
    bare_surface: bool,
    ledger: Ledger,
    known: RecordLookup,
) -> None:
    def rate(spot: ResolvedFace, *, surface: Surface | None = None, absorbency: str | None = None) -> float:
        return rates.likely(coating, spot.species, surface or spot.surface, absorbency or spot.absorbency, known)

    kinds = list({spot.key: spot for spot in settled}.values())
    if bare_species:
        classes = known.records("absorbency")
        effects = [rates.effect(rate(spot), (rate(spot, absorbency=other) for other in classes)) for spot in kinds]
        why = "the middle class, for want of a species"
        ledger.default("species", f"wood of {MIDDLE} absorbency", effect=max(effects, default=None), why=why)
    if bare_surface:
        effects = [rates.effect(rate(spot), (rate(spot, surface=other) for other in SURFACES)) for spot in kinds]
        why = "a weathered floor is sanded before it is coated"
        ledger.default("surface", "sanded", effect=max(effects, default=None), why=why)


def lay(
    x: Inputs, faces: Sequence[ResolvedFace], coats: int, ledger: Ledger, known: RecordLookup
) -> tuple[FaceGroup, ...]:
    """Return the lots with what every coat lays on them."""
    if coats == 0:
        return ()
    alike: dict[Key, list[ResolvedFace]] = {}
    for spot in faces:
        alike.setdefault(spot.key, []).append(spot)
    areas = [(spots[0], sum(spot.area for spot in spots)) for spots in alike.values()]
    return tuple(_lot(x, spot, area, coats, ledger, known) for spot, area in areas if area > 0)


def _lot(x: Inputs, spot: ResolvedFace, area: float, coats: int, ledger: Ledger, known: RecordLookup) -> FaceGroup:
    coating, absorbency, surface, pairing = x.coating, spot.absorbency, spot.surface, spot.pairing
    about = f"{surface}, {absorbency} absorbency" + ("" if pairing is None else f", {pairing.title}")
    wiped: Number = ledger.take(known.record("absorbency", absorbency).wiped_off) if coating.wiped else 0.0
    first = first_rate(x, spot, wiped, ledger, known)
    if quantiles(spot.uptake) != (1.0, 1.0, 1.0):
        first = ledger.step(rate_at_uptake, about, spreading_rate=first, uptake=spot.uptake)
    family = by_family(x)
    volumes: list[Number] = []
    for coat in range(1, coats + 1):
        rate = first
        if family and "spreading" in coating.models:
            rate = known.model("spreading", coating.models["spreading"])(rate=first, coat=coat, roughness=0.0)
        if coat == 1 or not family or coating.later_coat_share is None:
            volumes.append(ledger.step(volume_laid_on, f"{about}, coat {coat}", area=area, spreading_rate=rate))
        else:
            share = ledger.take(coating.later_coat_share)
            laid = volume_laid_on(area=area, spreading_rate=rate)
            volumes.append(ledger.step(later_coat_volume, f"{about}, coat {coat}", first_coat=laid, share=share))
    return FaceGroup(spot.key, area, tuple(volumes), wiped)


def first_rate(x: Inputs, spot: ResolvedFace, wiped: Number, ledger: Ledger, known: RecordLookup) -> Number:
    """Return the rate at which the first coat is laid on: the data sheet's, the film's, the pair's or the family's."""
    product = x.product
    if product is not None and product.spreading_rate is not None:
        basis = product.rate_basis or x.coating.rate_basis
        from_sheet(ledger, "product.spreading_rate", product.spreading_rate, "m2/L", "spreading-rate", f"{basis} rate")
        return rates.as_applied(product.spreading_rate, basis, wiped, ledger)
    if product is not None and product.dry_film_thickness is not None and product.volume_solids is not None:
        from_sheet(ledger, "product.dry_film_thickness", product.dry_film_thickness, "um", "length", "of one coat")
        solids = solids_as_used(x, ledger)
        return ledger.step(rate_from_film, volume_solids=solids, dry_film_thickness=product.dry_film_thickness)
    rate = rates.tabulated(x.coating, spot.pairing, spot.surface, spot.absorbency, ledger, known)
    stated = None if spot.pairing is None else spot.pairing.rate_basis
    return rates.as_applied(rate, stated or x.coating.rate_basis, wiped, ledger)


def solids_as_used(x: Inputs, ledger: Ledger) -> Number:
    """Return the volume solids of the product as it is laid on, thinned or not."""
    solids = None if x.product is None else x.product.volume_solids
    if x.product is None or solids is None:
        raise ValueError("the data sheet states no volume solids")
    from_sheet(ledger, "product.volume_solids", solids, "%", "fraction", "before thinning")
    if not x.product.thinning:
        return solids
    return ledger.step(thinned_solids, volume_solids=solids, thinning=x.product.thinning)


def from_sheet(ledger: Ledger, field: str, number: Number, unit: str, dimension: str, note: str) -> None:
    """Write into the basis a number the caller read from the product's data sheet."""
    low, high = (spread.low(number), spread.high(number)) if isinstance(number, spread.Uncertain) else (None, None)
    ledger.use(
        f"input/{field.replace('.', '/')}",
        rates.said(number, unit, dimension),
        "product-sheet",
        note=note,
        si=SIValue(value=spread.value(number), low=low, high=high, unit=_SI[dimension]),
    )


_SI = {"spreading-rate": "1/m", "length": "m", "fraction": "1", "concentration": "kg/m3"}
