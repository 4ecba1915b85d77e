"""What lead and arsenic a job may hold, and what cautions go by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from latewood.calculators._abrasive_sequence.spots import Spot
from latewood.declare import Known
from latewood.provenance import Ledger
from latewood.rules.hazards import Suspicion, Years
from latewood.rules.regions import region_of

if TYPE_CHECKING:
    from latewood.calculators.abrasive_sequence import Inputs


def state_hazards(x: Inputs, found: list[Spot], ledger: Ledger, known: Known) -> tuple[dict[str, Suspicion], Suspicion]:
    """Return what lead and arsenic are suspected, and state what cautions go by."""
    rules = Years(x.year_built, region_of(known, x.jurisdiction), ledger)
    arsenical = rules.arsenical(x.treatment or "unknown")
    if x.treatment is None:
        ledger.default("treatment", "unknown", effect=None, why="nobody said that the wood holds no preservative")
    ledger.fact("treatment", x.treatment or "unknown")
    ledger.fact("arsenical", arsenical)
    lead: dict[str, Suspicion] = {}
    for spot in found:
        old = spot.face.old_coating or x.old_coating
        lead[spot.id] = "no" if old is None or old == "none" else rules.lead(old)
        # A floor is spoken of by its zone; what stands on it may have another wood and another coating.
        of = spot.face.zone if spot.face.item is None else spot.id
        if old is not None and old != "none":
            # Dust of an oiled surface heats itself as oily rags do.
            ledger.fact("binder", old.binder, of=of)
        ledger.fact("lead_paint", lead[spot.id], of=of)
        if spot.species is not None:
            ledger.fact("sensitiser", spot.species.sensitiser, of=of)
    return lead, arsenical
