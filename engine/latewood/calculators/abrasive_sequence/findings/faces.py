"""What must be said of one face: what refuses it, where it begins and ends, how often it is gone over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.findings.machines import asked_at
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved import Refusal
from latewood.messages import in_english
from latewood.provenance import Ledger
from latewood.records.erosion import last_year
from latewood.rules.sanding_work.abrasive_grades import GRADE_TOLERANCE, Ladder, fits, named
from latewood.rules.sanding_work.consumed import mismatched, never_slow
from latewood.rules.sanding_work.fields import SandStep
from latewood.rules.sanding_work.grade_choice import Chosen, patches_for
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.work import worn_by_years
from latewood.uncertainty import spread

#: Passes of one grade above which a coarser grade or another way is better. Judgement: two are usual, five many.
MOST_PASSES: Final = 5


def find_face(x: Inputs, one: Sequenced, method: Method, ledger: Ledger) -> None:
    """Write what the reader must know of one face."""
    face = one.face
    if one.refusal is not None:
        _refused(x, face, one.refusal, ledger)
    if one.chosen is None:
        return
    _doubts(face, one.chosen, ledger)
    _choice(x, face, one.chosen, method.ladder, ledger)
    if one.made is not None:
        _erosion(face, method, ledger)
        _paces(face, one.made.steps, ledger)
        _passes(x, face, one.made.steps, ledger)
        _wear(face, one.made.steps, method, ledger)
    _last(one, one.chosen, method.ladder, ledger)


def _refused(x: Inputs, face: SandedFace, refusal: Refusal, ledger: Ledger) -> None:
    at = asked_at(x, face)
    for why in refusal.why:
        message = f"{face.id}: {in_english(why)}. No machine sands it before that."
        own = bool(x.faces and x.faces[face.place].signs)
        pointer = f"/faces/{face.place}/signs" if own else "/signs"
        ledger.find("sign-stops", "stop", message, pointer=pointer, face=face.id)
    if refusal.by == "unsuited":
        machine, part = face.machine, face.part.replace("-", " ")
        able = ", ".join(name.replace("-", " ") for name in machine.suits)
        message = f"{machine.title} cannot work the {part}: it is for {able}. Choose another machine for the {part}."
        ledger.find("machine-unsuited", "stop", message, pointer=at, face=face.id, machine=machine.id)
    for risk in refusal.risks:
        ledger.find(risk.id, "stop", risk.message, pointer=at, face=face.id, machine=face.machine.id)
    if refusal.by == "grooved":
        message = (
            f"{face.id} is grooved: a flat pad sands the ridges and leaves the grooves grey. Wash and brush it "
            "instead, or turn the boards to a smooth face."
        )
        pointer = "/profile" if x.profile else f"/faces/{face.place}"
        ledger.find("grooved-face", "stop", message, pointer=pointer, face=face.id)


def _doubts(face: SandedFace, chosen: Chosen, ledger: Ledger) -> None:
    """Say what was asked for or tried and cannot stand."""
    if chosen.finer_stairs is not None:
        asked, planned = chosen.finer_stairs
        message = (
            f"Stairs are never sanded finer than the floor they lead to, for they get slippery; {asked} was asked for "
            f"and {planned} is planned."
        )
        pointer = "/parts" if face.choice is not None else "/last_grade"
        ledger.find("stairs-finer", "warning", message, pointer=pointer, asked=asked, planned=planned)
    if chosen.belied is not None:
        one, other = chosen.belied
        message = (
            f"Patches on {face.id} disagree: {one.grade.id} left no grey, and {other.grade.id} left some in no "
            "fewer passes. A deck weathers unevenly; the worse spot counts."
        )
        ledger.find("patches-disagree", "warning", message, pointer="/patches", face=face.id)
    if chosen.failed is not None:
        first, failed = chosen.failed
        message = (
            f"{first} was asked for to begin with on {face.id}, and a patch with {' and '.join(failed)} left grey "
            "there. Begin coarser: a finish over left grey goes dark and blotchy."
        )
        ledger.find("first-grade-failed", "warning", message, pointer="/patches", face=face.id, grade=first)
    if chosen.stuck is not None:
        message = (
            f"{chosen.stuck} still left grey or film on {face.id}, and nothing coarser is at hand. Do not coat over "
            "it: fetch a coarser grade, or take the film off by another route."
        )
        ledger.find("patch-not-enough", "warning", message, pointer="/patches", face=face.id, grade=chosen.stuck)


def _choice(x: Inputs, face: SandedFace, chosen: Chosen, ladder: Ladder, ledger: Ledger) -> None:
    """Say of one face what it rests on and what is missing."""
    at = f"/faces/{face.place}" if x.faces else "/stock"
    if chosen.assumed and chosen.found is not None and face.part in ("field", "perimeter"):
        tries = ", then ".join(chosen.trials)
        message = (
            f"{face.id} begins with {chosen.found.grades[0]} by a table of common practice, not by a trial. Try on a "
            f"hidden patch, fine to coarse ({tries}), until no grey is left; the finest that does it is where to "
            "begin. Stripes after the first pass mean go on or go coarser, never oil over them."
        )
        ledger.find("start-assumed", "note", message, pointer="/patches", face=face.id, next=chosen.next_trial)
    if chosen.found is None:
        fetch = " and ".join(chosen.fetch)
        stocked = {named(item) for item in ladder.stock if not fits(item, face.machine)}
        pad = f" for {face.machine.title}: what is at hand is of another size" if stocked & set(chosen.fetch) else ""
        remedy = f"Fetch {fetch}{pad}." if fetch else "No grade on the shelf bridges it."
        message = f"No sequence of steps small enough can be made for {face.id} from the grades at hand. {remedy}"
        ledger.find("grade-to-fetch", "warning", message, pointer=at, face=face.id, fetch=list(chosen.fetch))
    for patch in patches_for(face, x.patches):
        if patch.machine is not None and patch.machine.id != face.machine.id:
            message = (
                f"The patch on {face.id} was sanded with {patch.machine.title}, and {face.machine.title} is planned: "
                "it may leave another pattern. Try again with the machine of the work."
            )
            ledger.find("patch-other-machine", "note", message, pointer="/patches", face=face.id)


def _erosion(face: SandedFace, method: Method, ledger: Ledger) -> None:
    """Say where bare years are not in the table of the species."""
    if not worn_by_years(face, method) or face.species is None or method.years_bare is None:
        return
    params = {"pointer": "/years_bare", "species": face.species.id}
    table = method.erosion.get(face.species.id)
    if table is None:
        message = f"No erosion is tabulated for {face.species.title}; years_bare is left out and the condition counts."
        ledger.find("no-erosion-table", "note", message, **params)
    elif method.years_bare > (last := last_year(table)):
        message = (
            f"Erosion of {face.species.title} is tabulated for {last} years; {method.years_bare} were given, and the "
            f"depth of {last} was taken. It may be more: measure it."
        )
        ledger.find("beyond-erosion-table", "warning", message, **params)


def _paces(face: SandedFace, steps: Sequence[SandStep], ledger: Ledger) -> None:
    """Say over which open floor the pace of a machine is not known."""
    for step in steps if face.part == "field" and face.area > 0 else ():
        machine = step.machine or face.machine
        if step.time is None:
            message = f"No pace over open floor is known for {machine.title}; its time is left out."
            ledger.find("no-pace", "warning", message, pointer="/parts", machine=machine.id)


def _passes(x: Inputs, face: SandedFace, steps: Sequence[SandStep], ledger: Ledger) -> None:
    """Say where a grade would have to go over a face more often than makes sense."""
    worst = max(steps, key=lambda step: step.passes, default=None)
    if worst is None or worst.passes <= MOST_PASSES:
        return
    message = (
        f"{face.id} takes {worst.passes} passes of {worst.id}: nobody sands so much away with this machine. Begin "
        "coarser, take another machine or another route, or turn or replace the boards."
    )
    at = f"/faces/{face.place}" if x.faces else None
    ledger.find("many-passes", "warning", message, pointer=at, face=face.id, passes=worst.passes)


def _wear(face: SandedFace, steps: Sequence[SandStep], method: Method, ledger: Ledger) -> None:
    """Say where discs never wear by what was measured, or do not match the pad."""
    for step in steps:
        machine = step.machine or face.machine
        if (wear := method.wear) is not None:
            if step.time is not None and never_slow(wear):
                message = (
                    f"A disc that keeps {wear.steady:.0%} of its cut never falls to {wear.change_at:.0%}: by this "
                    "it is never changed. One of each grade is counted."
                )
                ledger.find("disc-never-slow", "warning", message, pointer="/wear/change_at")
        elif face.area > 0 and (place := mismatched(method.ladder, machine, step.abrasive)) is not None:
            message = (
                f"The holes of the {step.abrasive} discs do not match the pad of {machine.title} ({machine.holes} "
                "holes): less dust is caught, and a disc lasts half to four fifths as long."
            )
            at = f"/stock/{place}/disc_holes"
            ledger.find("holes-do-not-match", "warning", message, pointer=at, machine=machine.id)


def _last(one: Sequenced, chosen: Chosen, ladder: Ladder, ledger: Ledger) -> None:
    """Say where the last grade is finer than the finish likes, with what that takes off its uptake and its life."""
    face, uptake, life = one.face, one.uptake, one.relative_life
    if chosen.found is None or not face.penetrating:
        return
    last = chosen.found.grades[-1]
    if ladder.sizes[last] > ladder.sizes[chosen.ends.coarsest] * GRADE_TOLERANCE:
        message = (
            f"{last} is coarser than {face.id} is usually left ({chosen.ends.coarsest} at the coarsest): its scratches "
            "show and feel rough, and it takes up more."
        )
        ledger.find("last-too-coarse", "note", message, pointer="/last_grade", face=face.id)
    if ladder.sizes[last] >= ladder.sizes[chosen.ends.finest] * (1 - 1e-9):
        return
    effect = ""
    if uptake is not None and life is not None:
        effect = (
            f" It takes up about {1 - spread.value(uptake):.0%} less than after the grade rates hold for, and lasts "
            f"about {1 - spread.value(life):.0%} less long."
        )
    message = f"{last} is finer than a penetrating finish on {face.id} should follow ({chosen.ends.finest}).{effect}"
    ledger.find("last-too-fine", "warning", message, pointer="/last_grade", face=face.id, finest=chosen.ends.finest)
