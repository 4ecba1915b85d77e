"""What holds for a request to sand: the practice, the faces, their hazards and what refuses them."""

from __future__ import annotations

from collections.abc import Collection

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.faces import method_of, sanded_faces
from latewood.calculators.abrasive_sequence.resolve.hazards import state_hazards
from latewood.calculators.abrasive_sequence.resolve.refusals import refusals
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.declare import RecordLookup
from latewood.provenance import Ledger

#: Chance that the discs suffice where none is asked for.
CONFIDENCE = 0.9


def grade_ids(known: RecordLookup) -> Collection[str]:
    """Return the ids of all grades in the catalogue."""
    return known.records("abrasive").keys()


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return what a sequence goes by."""
    method = method_of(x, known, ledger)
    faces = sanded_faces(x, method, known, ledger)
    hazards = state_hazards(x, faces, known, ledger)
    confidence = CONFIDENCE if x.confidence is None else x.confidence
    return Resolved(faces, method, hazards, dict(refusals(x, faces, hazards, known, ledger)), confidence)
