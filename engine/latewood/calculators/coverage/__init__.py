"""How much coating does a job take, and what should be bought? Volumes, containers, VOC."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

from latewood.calculators.coverage.coating_advice import advise
from latewood.calculators.coverage.face_groups import by_family, lay, spots
from latewood.calculators.coverage.fields import (
    CoatVolume,
    PartVolume,
    ZoneVolume,
)
from latewood.calculators.coverage.films import films
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.limits import voc
from latewood.calculators.coverage.loss import Draw, settle
from latewood.calculators.coverage.purchase import buy
from latewood.calculators.coverage.resolved import FaceGroup, Key, ResolvedFace
from latewood.calculators.coverage.result import Result
from latewood.calculators.coverage.validation import refuse
from latewood.declare import RecordLookup, calculator
from latewood.formulas import film, loss, spreading
from latewood.formulas import voc as voc_formulas
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.rules.waste import WasteRow, by_volume
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Name = TypeVar("Name", bound=str)


@calculator(
    "coverage",
    "Coating volume and purchase",
    since="0.1",
    example={"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"},
    formulas=(
        spreading.volume_laid_on,
        spreading.later_coat_volume,
        spreading.overall_spreading_rate,
        spreading.wet_film_thickness,
        spreading.rate_as_applied,
        spreading.rate_at_uptake,
        spreading.rate_on_other_wood,
        spreading.volume_wiped_off,
        spreading.volume_retained,
        film.rate_from_film,
        film.dry_film_thickness,
        film.wet_film_for,
        film.thinned_solids,
        film.volume_before_thinning,
        loss.drawn_with_loss_of_applied,
        loss.drawn_with_loss_on_top,
        voc_formulas.regulatory_voc_content,
        voc_formulas.voc_mass,
        waste_formulas.mass_of_volume,
    ),
)
def coverage(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find how much coating a job takes, and which containers to buy for it.

    The rate goes by coating family, surface and absorbency of the wood, or by the product's data sheet. A film-former
    may be reckoned from volume solids and film thickness; a penetrating finish never is. Purchase counts what is laid
    on and lost, also what is wiped off again.
    """
    refuse(x)
    faces = spots(x, ledger, known)
    count = _coats(x, ledger)
    advise(x, faces, count, ledger, known)
    draw = settle(x, ledger, known)
    lots = lay(x, faces, count, ledger, known)

    applied = spread.total([lot.applied for lot in lots])
    wiped = [ledger.step(spreading.volume_wiped_off, applied=lot.applied, wiped_off=lot.wiped) for lot in lots]
    stays = [ledger.step(spreading.volume_retained, applied=lot.applied, wiped_off=lot.wiped) for lot in lots]
    volume = draw.product(applied, ledger)
    coats = tuple(_coat(index, lots, draw, ledger) for index in range(count)) if lots else ()
    zones = tuple(
        ZoneVolume(id=zone, area=area, volume=drawn)
        for zone, area, drawn in _shares(lots, draw, [(spot.zone, spot) for spot in faces])
    )
    parts = tuple(
        PartVolume(id=part, area=area, volume=drawn)
        for part, area, drawn in _shares(lots, draw, [(spot.part, spot) for spot in faces])
    )
    _say_sums({"coats": coats, "zones": zones, "parts": parts}, volume, ledger)
    wet, dry = films(x, coats, ledger)
    containers, purchase = buy(x, volume, ledger, known)
    return Result(
        volume=volume,
        applied=applied,
        wiped_off=spread.total(wiped),
        retained=spread.total(stays),
        spreading_rate=coats[0].spreading_rate if coats else None,
        wet_film_thickness=wet,
        dry_film_thickness=dry,
        coats=coats,
        zones=zones,
        parts=parts,
        containers=containers,
        purchase=purchase,
        voc=voc(x, draw.ready(applied), containers, ledger, known),
        waste=_left(purchase.left_over, ledger, known),
    )


def _left(left_over: Number, ledger: Ledger, known: RecordLookup) -> tuple[WasteRow, ...]:
    """Return the finish that is left when the job is done; nothing where it is used up."""
    if spread.high(left_over) <= 0:
        return ()
    return (by_volume("leftover-finish", left_over, ledger, known, hazardous="no"),)


def _coats(x: Inputs, ledger: Ledger) -> int:
    """Return the number of coats: none of a finish that is none, the caller's, the data sheet's, or the family's."""
    if x.coating.bare:
        ledger.take(x.coating.coats)
        return 0
    if x.coats is not None:
        return x.coats
    if x.product is not None and x.product.coats is not None:
        ledger.use("input/product/coats", str(x.product.coats), "product-sheet")
        return x.product.coats
    count = round(spread.value(ledger.take(x.coating.coats)))
    if count and not x.coating.wiped:
        # One coat more or less is a likely choice, but for a finish that is wiped: there a second does not go in.
        share = x.coating.later_coat_share if by_family(x) else None
        more = 1.0 if share is None else share.si
        effect = more / (1 + (count - 1) * more)
        ledger.default("coats", str(count), effect=effect, why=f"as usual for {x.coating.title}")
    return count


def _coat(index: int, lots: Sequence[FaceGroup], draw: Draw, ledger: Ledger) -> CoatVolume:
    laid = spread.total([lot.volumes[index] for lot in lots])
    area = sum(lot.area for lot in lots)
    rate = ledger.step(spreading.overall_spreading_rate, f"coat {index + 1}", area=area, volume=laid)
    return CoatVolume(id=str(index + 1), volume=draw.product(laid), spreading_rate=rate)


def _shares(
    lots: Sequence[FaceGroup], draw: Draw, named: Iterable[tuple[Name, ResolvedFace]]
) -> Iterator[tuple[Name, float, Number]]:
    """Share out each lot by area, its faces taking the coating alike: yield name, area and volume drawn."""
    by_key = {lot.key: lot for lot in lots}
    areas: dict[Name, dict[Key, float]] = {}
    for name, spot in named:
        own = areas.setdefault(name, {})
        own[spot.key] = own.get(spot.key, 0.0) + spot.area
    for name, own in areas.items():
        laid = [by_key[key].applied * (area / by_key[key].area) for key, area in own.items() if key in by_key]
        yield name, sum(own.values()), draw.product(spread.total(laid))


def _say_sums(
    rows: Mapping[str, Sequence[CoatVolume | ZoneVolume | PartVolume]], volume: Number, ledger: Ledger
) -> None:
    for name, parts in rows.items():
        gap = spread.parts_do_not_add([part.volume for part in parts], volume)
        if gap is not None and parts:
            message = (
                f"The volumes of the {name} are medians and do not add up to the median of the whole "
                f"({gap:+.1%}): they are not all high or low together."
            )
            ledger.find("parts-do-not-add", "note", message, of=name, gap=round(gap, 4))


__all__ = ["Inputs", "Result", "coverage"]
