"""What must be said of the sequences found."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.findings.faces import find_face
from latewood.calculators.abrasive_sequence.findings.machines import find_machines, find_planes, find_risks
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved import Resolved
from latewood.calculators.abrasive_sequence.result import TrialStep
from latewood.messages import Word, clause
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules import sign_actions
from latewood.rules.sanding_work.abrasive_grades import graded
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
            at, params = f"/parts/{place}", {"part": choice.part}
            ledger.find("part-not-sanded", pointer=at, params=params, part=Word("part", choice.part))
    for place, patch in enumerate(x.patches):
        if not any(patches_for(face, [patch]) for face in faces):
            early = any(tried_on(face, patch) for face in faces)
            text = "patch-before-wash" if early else "patch-not-used"
            ledger.find("patch-not-used", text=text, pointer=f"/patches/{place}", grade=graded(patch.grade.id))


def protocol(practice: SandingPractice, done: Sequence[Sequenced], ledger: Ledger) -> tuple[TrialStep, ...]:
    """Return how to make the trial that would settle where to begin; nothing where trials settled it."""
    if not any(one.chosen is not None and one.chosen.assumed for one in done):
        return ()
    if practice.trial:
        ledger.use(f"{practice.path}/trial", clause("how-trial-is-made"), "common-practice")
    return tuple(
        TrialStep(id=str(place + 1), message=practice.recorded(text, "trial", str(place)))
        for place, text in enumerate(practice.trial)
    )
