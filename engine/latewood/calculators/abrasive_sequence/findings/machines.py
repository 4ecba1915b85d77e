"""What must be said of machines, and of floors that two of them leave unlike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.compute.sequences import Sequenced
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
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
        message = (
            "Pressing harder is not counted as a faster cut: it barely raises it, and may stop an orbit and gouge. The "
            "weight of the machine is enough."
        )
        ledger.find("pressing-does-not-help", "note", message, pointer="/pressing")
    for face in faces:
        if face.speed is not None and face.speed > FAST and face.part in WALKED:
            message = f"{face.speed:.0%} of full speed on {face.part}: begin in the middle of the range and look first."
            ledger.find("speed-high", "note", message, pointer="/parts", part=face.part)
        if face.condition == "old-film" and practice.disc_life["film"].si < SHORT_LIFE:
            message = (
                f"A 150 mm disc lasts about {practice.disc_life['film'].si:g} m2 over an old film, for it clogs. Below "
                "1 m2 to a disc, strip the film first, or sand it hard only as a last step."
            )
            ledger.find("strip-first", "note", message, pointer="/condition")


def find_risks(x: Inputs, faces: Iterable[SandedFace], ledger: Ledger) -> None:
    """Say what the machines in use may do, what to look at before, and which parts are gone over once more."""
    for face in faces:
        machine, at = face.machine, asked_at(x, face)
        if machine.set_below is not None:
            ledger.take(machine.set_below)
        for risk in risks_met(face):
            if risk.severity != "stop":
                ledger.find(risk.id, risk.severity, risk.message, pointer=at, machine=machine.id)
        if face.cupped is None and any(risk.cupped for risk in machine.risks):
            message = (
                f"You did not say whether the boards are cupped. Lay a straightedge across them before the "
                f"{machine.title.lower()} goes on."
            )
            ledger.find("cupping-not-said", "warning", message, pointer="/cupped", machine=machine.id)
        if face.blend is not None:
            message = (
                f"{machine.title} leaves marks that show under the finish. Go over the {face.part} once more at "
                f"the last grade with: {face.blend.title}. Its time and abrasive are counted."
            )
            ledger.find("marks-taken-out", "note", message, pointer=at, face=face.id, machine=face.blend.id)


def find_planes(done: Sequence[Sequenced], sizes: Mapping[str, float], ledger: Ledger) -> None:
    """Hold last grades and patterns against one another within each plane: a floor shows every difference."""
    floors = [(s.face, s.grades[-1]) for s in done if s.grades and s.face.part in ("field", "perimeter")]
    for place, (one, last) in enumerate(floors):
        for other, its_last in floors[place + 1 :]:
            alike = one.species == other.species and one.coating == other.coating
            if one.zone != other.zone and not alike:
                continue
            if abs(sizes[last] - sizes[its_last]) > 1e-3 * sizes[last]:
                _halo(one, other, f"{one.id} ends at {last}, {other.id} at {its_last}", ledger)
            elif one.zone == other.zone and _patterns_differ(one, other):
                what = (
                    f"{one.finisher.title} and {other.finisher.title} leave scratches of different pattern at one grade"
                )
                _halo(one, other, what, ledger)


def _halo(one: SandedFace, other: SandedFace, what: str, ledger: Ledger) -> None:
    message = (
        f"{what}: in one plane the edge between them shows once the finish is on. End both alike, and compare wet."
    )
    ledger.find("edge-halo", "warning", message, pointer=f"/faces/{other.place}", faces=[one.id, other.id])


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
