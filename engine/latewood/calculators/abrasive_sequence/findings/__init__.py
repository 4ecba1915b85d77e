"""What must be said of the sequences found."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.findings.faces import find_face
from latewood.calculators.abrasive_sequence.findings.machines import find_machines, find_planes, find_risks
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.calculators.abrasive_sequence.result import TrialStep
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules import sign_actions
from latewood.rules.sanding_work.grade_choice import patches_for, tried_on
from latewood.rules.sanding_work.method import SandedFace


def find(x: Inputs, r: Resolved, done: Sequence[Sequenced], ledger: Ledger) -> None:
    """Write what the reader must know of machines, faces and signs."""
    find_machines(x, r.faces, r.method.practice, ledger)
    _unused(x, r.faces, ledger)
    sign_actions.note_signs(x.signs, ledger)
    for face in r.faces if x.faces else ():
        sign_actions.note_signs(x.faces[face.place].signs, ledger, f"/faces/{face.place}/signs")
    for one in done:
        find_face(x, one, r.method, ledger)
    find_planes(done, r.method.ladder.sizes, ledger)
    find_risks(x, [one.face for one in done if one.refusal is None], ledger)


def _unused(x: Inputs, faces: Sequence[SandedFace], ledger: Ledger) -> None:
    """Say what was given of parts that are not among the faces."""
    parts = {face.part for face in faces}
    for place, choice in enumerate(x.parts):
        if choice.part not in parts:
            message = f"No face of part {choice.part} is given; what was said of it does not count."
            ledger.find("part-not-sanded", "note", message, pointer=f"/parts/{place}", part=choice.part)
    for place, patch in enumerate(x.patches):
        if not any(patches_for(face, [patch]) for face in faces):
            why = "is on no face that is given; it does not count."
            if any(tried_on(face, patch) for face in faces):
                why = "was tried before the floor is washed or stripped; it does not count. Try again on the dry floor."
            message = f"The patch of {patch.grade.id} {why}"
            ledger.find("patch-not-used", "note", message, pointer=f"/patches/{place}")


def protocol(practice: SandingPractice, done: Sequence[Sequenced], ledger: Ledger) -> tuple[TrialStep, ...]:
    """Return how to make the trial that would settle where to begin; nothing where trials settled it."""
    if not any(one.chosen is not None and one.chosen.assumed for one in done):
        return ()
    if practice.trial:
        ledger.use(f"{practice.path}/trial", "how a trial is made", "common-practice")
    return tuple(TrialStep(id=str(place), message=message) for place, message in enumerate(practice.trial, 1))
