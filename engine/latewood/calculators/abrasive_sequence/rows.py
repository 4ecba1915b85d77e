"""One face of the answer: refused, impossible or planned, and what its last grade does to the finish."""

from __future__ import annotations

from itertools import pairwise
from typing import Literal

from latewood.calculators.abrasive_sequence import findings, grade_choice
from latewood.calculators.abrasive_sequence.abrasive_grades import Ladder, take_sizes
from latewood.calculators.abrasive_sequence.answer import SandRow
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.machines import kept_off
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.calculators.abrasive_sequence.sign_findings import stopped
from latewood.calculators.abrasive_sequence.work import Work
from latewood.declare import RecordLookup
from latewood.formulas import grain, removal
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
from latewood.uncertainty.spread import Number


def refused(x: Inputs, spot: ResolvedFace, ledger: Ledger, known: RecordLookup) -> bool:
    """Refuse what a sign stops, a machine that must not go over a part, and a flat pad on grooves."""
    if stopped(spot, x, ledger, known) or kept_off(x, spot, ledger):
        return True
    if not spot.grooved or spot.machine.pad != "flat" or spot.face.part not in WALKED:
        return False
    message = (
        f"{spot.id} is grooved: a flat pad sands the ridges and leaves the grooves grey. Wash and brush it instead, or "
        "turn the boards to a smooth face."
    )
    ledger.find(
        "grooved-face", "stop", message, pointer="/profile" if x.profile else f"/faces/{spot.place}", face=spot.id
    )
    return True


def bare_row(spot: ResolvedFace, status: Literal["refused"]) -> SandRow:
    """Return the row of a face that is not sanded."""
    face = spot.face
    return SandRow(
        id=spot.id, zone=face.zone, part=face.part, item=face.item, status=status, machine=spot.machine, sequence=""
    )


def row_of(
    spot: ResolvedFace,
    chosen: grade_choice.Chosen,
    made: Work | None,
    practice: SandingPractice,
    ladder: Ladder,
    ledger: Ledger,
    known: RecordLookup,
) -> SandRow:
    """Return the row of a face: its sequence, what the last grade does to the finish, and what the work comes to."""
    found = chosen.found
    uptake, life = (None, None) if found is None else _effect(spot, found.grades[-1], practice, ladder, ledger)
    findings.say_last(spot, chosen, uptake, life, ladder, ledger)
    if found is not None:
        take_sizes(found.grades, ledger, known)
        for coarser, finer in pairwise(found.grades):
            sizes = {"coarser": ladder.sizes[coarser], "finer": ladder.sizes[finer]}
            ledger.step(grain.size_ratio, f"{spot.id}, {coarser} to {finer}", **sizes)
    face = spot.face
    return SandRow(
        id=spot.id,
        zone=face.zone,
        part=face.part,
        item=face.item,
        status="impossible" if found is None else "planned",
        machine=spot.machine,
        sequence=", ".join(chosen.way),
        worst_ratio=None if found is None or len(found.grades) < 2 else found.worst_ratio,
        fetch=", ".join(chosen.fetch) or None,
        trials=", ".join(chosen.trials) or None,
        next_trial=chosen.next_trial,
        layer=None if made is None else made.layer,
        removal=None if made is None else made.removal,
        uptake=uptake,
        relative_life=life,
        steps=() if made is None else made.steps,
        time=None if made is None else made.time,
        dust_mass=None if made is None else made.dust_mass,
    )


def _effect(
    spot: ResolvedFace, last: str, practice: SandingPractice, ladder: Ladder, ledger: Ledger
) -> tuple[Number | None, Number | None]:
    """Return what the last grade does to uptake and life of a penetrating finish, beside the grade rates hold for."""
    coating = spot.coating
    if coating is None or coating.film or coating.bare or spot.species is None:
        return None, None
    rate = coating.spreading.get("sanded", {}).get(spot.species.absorbency)
    if rate is None:
        return None, None
    uptake = ledger.step(
        removal.relative_uptake,
        spot.id,
        grain_size=ladder.sizes[last],
        reference_size=ladder.sizes[practice.uptake_grade],
        scratch_share=ledger.take(practice.scratch_share),
        spreading_rate=ledger.take(rate),
    )
    gain = ledger.take(practice.life_gain)
    return uptake, ledger.step(removal.relative_life, spot.id, uptake=uptake, gain=gain)
