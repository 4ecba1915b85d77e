"""How thick a film-former lies; a penetrating finish has no answer to that."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.face_groups import solids_as_used
from latewood.calculators.coverage.fields import CoatVolume
from latewood.calculators.coverage.inputs import Inputs
from latewood.formulas.film import dry_film_thickness, wet_film_for
from latewood.formulas.spreading import wet_film_thickness
from latewood.provenance import Ledger
from latewood.uncertainty.spread import Number


def films(x: Inputs, coats: Sequence[CoatVolume], ledger: Ledger) -> tuple[Number | None, Number | None]:
    """Return wet and dry film thickness of the first coat, each None where it cannot be said."""
    product = x.product
    known_solids = product is not None and product.volume_solids is not None
    if not coats or not (x.coating.film or known_solids):
        return None, None
    if product is not None and product.dry_film_thickness is not None:
        dry = product.dry_film_thickness
        return ledger.step(wet_film_for, dry_film_thickness=dry, volume_solids=solids_as_used(x, ledger)), dry
    wet = ledger.step(wet_film_thickness, spreading_rate=coats[0].spreading_rate)
    if not known_solids:
        return wet, None
    return wet, ledger.step(dry_film_thickness, wet_film_thickness=wet, volume_solids=solids_as_used(x, ledger))
