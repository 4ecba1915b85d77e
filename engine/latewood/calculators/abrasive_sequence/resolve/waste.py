"""Which waste the dust of sanding is."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.hazards import asked_of
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.rules.hazards import worst
from latewood.rules.sanding_work.method import SandedFace
from latewood.rules.waste import WasteRow, by_mass, heats_itself
from latewood.uncertainty.spread import Number


def dust_left(
    x: Inputs, r: Resolved, sanded: Sequence[SandedFace], mass: Number | None, known: RecordLookup, ledger: Ledger
) -> tuple[WasteRow, ...]:
    """Return the dust as waste: that of an oiled surface heats itself, as its cloths do. Nothing where none is made."""
    if mass is None:
        return ()
    hazards = [r.hazards[face.id] for face in sanded]
    hazardous = worst(*(one for found in hazards for one in (found.arsenical, found.lead)))
    olds = [asked_of(face, x).old_coating or x.old_coating for face in sanded]
    oil = any(heats_itself(old.binder, known) for old in olds if old is not None and old != "none")
    return (by_mass("sanding-dust", mass, ledger, known, hazardous=hazardous, oil=oil),)
