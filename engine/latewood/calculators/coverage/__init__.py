"""How much coating does a job take, and what should be bought? Volumes, containers, VOC."""

from __future__ import annotations

from latewood.calculators.coverage.compute.limits import voc_of
from latewood.calculators.coverage.compute.purchase import buy
from latewood.calculators.coverage.compute.volumes import by_coat, by_part, by_zone, drawn, films, lay, parted, ready
from latewood.calculators.coverage.findings import find_limits, find_volumes
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolve import resolve
from latewood.calculators.coverage.resolve.limits import limits_of
from latewood.calculators.coverage.resolve.purchase import assume, left
from latewood.calculators.coverage.result import Result
from latewood.calculators.coverage.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import film, loss, spreading, waste
from latewood.formulas import voc as voc_formulas
from latewood.provenance import Ledger
from latewood.uncertainty import spread


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
        waste.mass_of_volume,
    ),
    costs=(Cost(0.01, 256), Cost(0.1, 4096)),
    outputs={
        "coverage": "volume",
        "purchase": "purchase.volume",
        "voc": "voc.regulatory_content",
    },
)
def coverage(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find how much coating a job takes, and which containers to buy for it.

    The rate goes by coating family, surface and absorbency of the wood, or by the product's data sheet. A film-former
    may be reckoned from volume solids and film thickness; a penetrating finish never is. Purchase counts what is laid
    on and lost, also what is wiped off again.
    """
    check(x)
    resolved = resolve(x, ledger, known)
    laid = lay(resolved, ledger)
    applied = spread.total([one.applied for one in laid])
    wiped_off, retained = parted(laid, ledger)
    volume = drawn(resolved, applied, ledger)
    coats, zones, parts = by_coat(resolved, laid, ledger), by_zone(resolved, laid), by_part(resolved, laid)
    find_volumes(x, volume, ledger, coats=coats, zones=zones, parts=parts)
    wet, dry = films(resolved, coats, ledger)
    bought = buy(resolved, volume)
    assume(x, elsewhere=bought.elsewhere, other_confidence=bought.other_confidence, ledger=ledger)
    limits = limits_of(x, ledger, known)
    voc, held = voc_of(limits, ready(resolved, applied), ledger)
    find_limits(x, limits, held, bought.containers, ledger)
    return Result(
        volume=volume,
        applied=applied,
        wiped_off=wiped_off,
        retained=retained,
        spreading_rate=coats[0].spreading_rate if coats else None,
        wet_film_thickness=wet,
        dry_film_thickness=dry,
        coats=coats,
        zones=zones,
        parts=parts,
        containers=bought.containers,
        purchase=bought.purchase,
        voc=voc,
        waste=left(bought.purchase.left_over, ledger, known),
    )


__all__ = ["Inputs", "Result", "coverage"]
