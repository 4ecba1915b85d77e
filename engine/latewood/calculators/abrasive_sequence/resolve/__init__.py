"""What holds for a request to sand: the practice, the faces, their hazards and what refuses them."""

from __future__ import annotations

from collections.abc import Collection

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.faces import sanded_faces
from latewood.calculators.abrasive_sequence.resolve.hazards import state_hazards
from latewood.calculators.abrasive_sequence.resolve.refusals import refusals
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.rules.sanding_work.consumed import CONFIDENCE
from latewood.rules.sanding_work.method import method_of


def grade_ids(known: RecordLookup) -> Collection[str]:
    """Return the ids of all grades in the catalogue."""
    return known.records("abrasive").keys()


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return what a sequence goes by."""
    method = method_of(
        x.practice,
        x.stock,
        x.parts,
        known,
        ledger,
        largest_ratio=x.largest_ratio,
        first_grade=None if x.first_grade is None else x.first_grade.id,
        last_grade=None if x.last_grade is None else x.last_grade.id,
        patches=x.patches,
        wear=x.wear,
        measured=x.layer,
        flattening=x.flattening or 0.0,
        years_bare=x.years_bare,
    )
    faces = sanded_faces(x, method, ledger, known)
    hazards = state_hazards(x, faces, known, ledger)
    confidence = CONFIDENCE if x.confidence is None else x.confidence
    return Resolved(faces, method, hazards, dict(refusals(x, faces, hazards, known, ledger)), confidence)
