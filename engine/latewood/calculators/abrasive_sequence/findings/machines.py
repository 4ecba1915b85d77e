"""What must be said of machines, and of floors that two of them leave unlike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.messages import Area, Name, Share, Titled, Word
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
from latewood.rules.sanding_work.abrasive_grades import graded
from latewood.rules.sanding_work.machines import risks_met
from latewood.rules.sanding_work.method import SandedFace

#: Orbits further apart than this leave patterns that are told apart in one plane. Judgement.
PATTERN: Final = 2.0
#: Speed above which gentle sanding ends. Judgement: common practice starts in the middle of the range.
FAST: Final = 0.85
#: Life of a disc, in floor, below which the film is better taken off first (m2): common practice.
SHORT_LIFE: Final = 1.0


def find_machines(x: Inputs, faces: Iterable[SandedFace], practice: SandingPractice, ledger: Ledger) -> None:
    """Say what helps and what does not: speed, pressure, and films that eat discs."""
    if x.pressing == "hard":
        ledger.find("pressing-does-not-help", pointer="/pressing")
    for face in faces:
        if face.speed is not None and face.speed > FAST and face.part in WALKED:
            speed, part = Share(face.speed), Word("part", face.part)
            ledger.find("speed-high", pointer="/parts", params={"part": face.part}, speed=speed, part=part)
        if face.condition == "old-film" and practice.disc_life["film"].si < SHORT_LIFE:
            ledger.find("strip-first", pointer="/condition", life=Area(practice.disc_life["film"].si))


def find_risks(x: Inputs, faces: Iterable[SandedFace], ledger: Ledger) -> None:
    """Say what the machines in use may do, what to look at before, and which parts are gone over once more."""
    for face in faces:
        machine, at = face.machine, asked_at(x, face)
        if machine.set_below is not None:
            ledger.take(machine.set_below)
        for risk in risks_met(face):
            if risk.severity != "stop":
                ledger.advise(machine, "risks", risk, pointer=at, machine=machine.id)
        if face.cupped is None and any(risk.cupped for risk in machine.risks):
            params, name = {"machine": machine.id}, Titled(machine)
            ledger.find("cupping-not-said", pointer="/cupped", params=params, machine=name)
        if face.blend is not None:
            ledger.find(
                "marks-taken-out",
                pointer=at,
                params={"face": face.id, "machine": face.blend.id},
                machine=Titled(machine),
                part=Word("part", face.part),
                blend=Titled(face.blend),
            )


def find_planes(done: Sequence[Sequenced], sizes: Mapping[str, float], ledger: Ledger) -> None:
    """Hold last grades and patterns against one another within each plane: a floor shows every difference."""
    floors = [(s.face, s.grades[-1]) for s in done if s.grades and s.face.part in ("field", "perimeter")]
    for place, (one, last) in enumerate(floors):
        for other, its_last in floors[place + 1 :]:
            alike = one.species == other.species and one.coating == other.coating
            if one.zone != other.zone and not alike:
                continue
            if abs(sizes[last] - sizes[its_last]) > 1e-3 * sizes[last]:
                ledger.find(
                    "edge-halo",
                    pointer=f"/faces/{other.place}",
                    params={"faces": [one.id, other.id]},
                    one=Name(one.id),
                    last=graded(last),
                    other=Name(other.id),
                    its_last=graded(its_last),
                )
            elif one.zone == other.zone and _patterns_differ(one, other):
                ledger.find(
                    "edge-halo",
                    text="edge-halo-pattern",
                    pointer=f"/faces/{other.place}",
                    params={"faces": [one.id, other.id]},
                    one=Titled(one.finisher),
                    other=Titled(other.finisher),
                )


def _patterns_differ(one: SandedFace, other: SandedFace) -> bool:
    a, b = one.finisher, other.finisher
    if a.id == b.id:
        return False
    if a.orbit is None or b.orbit is None or a.motion != b.motion:
        return True
    return max(a.orbit.si, b.orbit.si) > PATTERN * min(a.orbit.si, b.orbit.si)


def asked_at(x: Inputs, face: SandedFace) -> str | None:
    """Return where the machine of a part was asked for; None where the practice names it."""
    if face.choice is None or face.choice.machine is None:
        return None
    return f"/parts/{x.parts.index(face.choice)}/machine"
