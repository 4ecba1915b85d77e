"""What must be said of one face: what refuses it, where it begins and ends, how often it is gone over."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.findings.machines import asked_at
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved import Refusal
from latewood.messages import Count, Name, Share, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.records.erosion import last_year
from latewood.rules.sanding_work.abrasive_grades import GRADE_TOLERANCE, Ladder, fits, graded, named
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
    name, params = Name(face.id), {"face": face.id}
    own = bool(x.faces and x.faces[face.place].signs)
    for why in refusal.why:
        pointer = f"/faces/{face.place}/signs" if own else "/signs"
        ledger.find("sign-stops", pointer=pointer, params=params, face=name, why=why)
    machine = face.machine
    with_machine = {**params, "machine": machine.id}
    if refusal.by == "unsuited":
        able = [Word("part", one) for one in machine.suits]
        part, of = Word("part", face.part), Titled(machine)
        ledger.find("machine-unsuited", pointer=at, params=with_machine, machine=of, part=part, able=able)
    for risk in refusal.risks:
        ledger.advise(machine, "risks", risk, pointer=at, **with_machine)
    if refusal.by == "grooved":
        pointer = "/profile" if x.profile else f"/faces/{face.place}"
        ledger.find("grooved-face", pointer=pointer, params=params, face=name)


def _doubts(face: SandedFace, chosen: Chosen, ledger: Ledger) -> None:
    """Say what was asked for or tried and cannot stand."""
    name, params = Name(face.id), {"face": face.id}
    if chosen.finer_stairs is not None:
        asked, planned = chosen.finer_stairs
        pointer = "/parts" if face.choice is not None else "/last_grade"
        grades = {"asked": asked, "planned": planned}
        ledger.find("stairs-finer", pointer=pointer, params=grades, asked=graded(asked), planned=graded(planned))
    if chosen.belied is not None:
        clean, grey = (graded(patch.grade.id) for patch in chosen.belied)
        ledger.find("patches-disagree", pointer="/patches", params=params, face=name, clean=clean, grey=grey)
    if chosen.failed is not None:
        first, left = chosen.failed
        failed = [graded(one) for one in left]
        params_of = {**params, "grade": first}
        first_ = graded(first)
        ledger.find("first-grade-failed", pointer="/patches", params=params_of, first=first_, face=name, failed=failed)
    if chosen.stuck is not None:
        params_of, grade = {**params, "grade": chosen.stuck}, graded(chosen.stuck)
        ledger.find("patch-not-enough", pointer="/patches", params=params_of, grade=grade, face=name)


def _choice(x: Inputs, face: SandedFace, chosen: Chosen, ladder: Ladder, ledger: Ledger) -> None:
    """Say of one face what it rests on and what is missing."""
    at, name, params = f"/faces/{face.place}" if x.faces else "/stock", Name(face.id), {"face": face.id}
    if chosen.assumed and chosen.found is not None and face.part in ("field", "perimeter"):
        ledger.find(
            "start-assumed",
            pointer="/patches",
            params={**params, "next": chosen.next_trial},
            face=name,
            grade=graded(chosen.found.grades[0]),
            trials=[graded(one) for one in chosen.trials],
        )
    if chosen.found is None:
        fetch, fetched = [graded(one) for one in chosen.fetch], {**params, "fetch": list(chosen.fetch)}
        stocked = {named(item) for item in ladder.stock if not fits(item, face.machine)}
        id = "grade-to-fetch"
        if stocked & set(chosen.fetch):
            text, of = "grade-to-fetch-in-size", Titled(face.machine)
            ledger.find(id, text=text, pointer=at, params=fetched, face=name, fetch=fetch, machine=of)
        elif fetch:
            ledger.find(id, pointer=at, params=fetched, face=name, fetch=fetch)
        else:
            ledger.find(id, text="no-grade-bridges", pointer=at, params=fetched, face=name)
    for patch in patches_for(face, x.patches):
        if patch.machine is not None and patch.machine.id != face.machine.id:
            tried, planned = Titled(patch.machine), Titled(face.machine)
            ledger.find(
                "patch-other-machine", pointer="/patches", params=params, face=name, tried=tried, planned=planned
            )


def _erosion(face: SandedFace, method: Method, ledger: Ledger) -> None:
    """Say where bare years are not in the table of the species."""
    if not worn_by_years(face, method) or face.species is None or method.years_bare is None:
        return
    at, params, wood = "/years_bare", {"species": face.species.id}, Titled(face.species)
    table = method.erosion.get(face.species.id)
    if table is None:
        ledger.find("no-erosion-table", pointer=at, params=params, species=wood)
    elif method.years_bare > (last := last_year(table)):
        years = Count(method.years_bare)
        ledger.find("beyond-erosion-table", pointer=at, params=params, species=wood, last=Count(last), years=years)


def _paces(face: SandedFace, steps: Sequence[SandStep], ledger: Ledger) -> None:
    """Say over which open floor the pace of a machine is not known."""
    for step in steps if face.part == "field" and face.area > 0 else ():
        machine = step.machine or face.machine
        if step.time is None:
            ledger.find("no-pace", pointer="/parts", params={"machine": machine.id}, machine=Titled(machine))


def _passes(x: Inputs, face: SandedFace, steps: Sequence[SandStep], ledger: Ledger) -> None:
    """Say where a grade would have to go over a face more often than makes sense."""
    worst = max(steps, key=lambda step: step.passes, default=None)
    if worst is None or worst.passes <= MOST_PASSES:
        return
    ledger.find(
        "many-passes",
        pointer=f"/faces/{face.place}" if x.faces else None,
        params={"face": face.id, "passes": worst.passes},
        face=Name(face.id),
        passes=Count(worst.passes),
        grade=graded(worst.id),
    )


def _wear(face: SandedFace, steps: Sequence[SandStep], method: Method, ledger: Ledger) -> None:
    """Say where discs never wear by what was measured, or do not match the pad."""
    for step in steps:
        machine = step.machine or face.machine
        if (wear := method.wear) is not None:
            if step.time is not None and never_slow(wear):
                at, steady, change_at = "/wear/change_at", Share(wear.steady), Share(wear.change_at)
                ledger.find("disc-never-slow", pointer=at, steady=steady, change_at=change_at)
        elif face.area > 0 and (place := mismatched(method.ladder, machine, step.abrasive)) is not None:
            ledger.find(
                "holes-do-not-match",
                pointer=f"/stock/{place}/disc_holes",
                params={"machine": machine.id},
                grade=graded(step.abrasive),
                machine=Titled(machine),
                holes=Count(machine.holes or 0),
            )


def _last(one: Sequenced, chosen: Chosen, ladder: Ladder, ledger: Ledger) -> None:
    """Say where the last grade is finer than the finish likes, with what that takes off its uptake and its life."""
    face, uptake, life = one.face, one.uptake, one.relative_life
    if chosen.found is None or not face.penetrating:
        return
    last = chosen.found.grades[-1]
    at, name, params = "/last_grade", Name(face.id), {"face": face.id}
    if ladder.sizes[last] > ladder.sizes[chosen.ends.coarsest] * GRADE_TOLERANCE:
        coarsest = graded(chosen.ends.coarsest)
        ledger.find("last-too-coarse", pointer=at, params=params, last=graded(last), face=name, coarsest=coarsest)
    if ladder.sizes[last] >= ladder.sizes[chosen.ends.finest] * (1 - 1e-9):
        return
    effect = []
    if uptake is not None and life is not None:
        less, shorter = Share(1 - spread.value(uptake)), Share(1 - spread.value(life))
        effect.append(clause("takes-up-less", uptake=less, life=shorter))
    params = {**params, "finest": chosen.ends.finest}
    finest = graded(chosen.ends.finest)
    ledger.find("last-too-fine", pointer=at, params=params, last=graded(last), face=name, finest=finest, effect=effect)
