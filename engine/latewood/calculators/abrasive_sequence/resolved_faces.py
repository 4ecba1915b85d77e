"""The faces with their wood, condition and machine settled."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood.calculators.abrasive_sequence.fields import SandFace, SandPart
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.seen import condition_of, condition_of_all, cupped
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import Coating, Condition, Machine, SandingPractice, Species
from latewood.rules.faces import WALKED, WHOLE, Part

#: The practice taken where none is asked for.
PRACTICE: Final = "open-grain"

#: Field first: perimeter and stairs end where the field of their zone ends.
ORDER: Final[tuple[Part, ...]] = ("field", "perimeter", "stair")

#: What is taken where the condition is not given, and another likely one.
CONDITION: Final[Condition] = "grey"


@dataclass(frozen=True)
class ResolvedFace:
    """One face to be sanded, with everything that was left out put in."""

    face: SandFace
    place: int
    species: Species | None
    group: str
    coating: Coating | None
    condition: Condition
    machine: Machine
    choice: SandPart | None
    speed: float | None
    grooved: bool = False
    #: Whether the boards are cupped; None where nobody says.
    cupped: bool | None = None
    #: The machine that goes over it once more at the last grade, where its own leaves marks.
    blend: Machine | None = None

    @property
    def finisher(self) -> Machine:
        """The machine whose scratches are seen in the end."""
        return self.blend or self.machine

    @property
    def id(self) -> str:
        """Zone and part, and the item where there may be several."""
        face = self.face
        return f"{face.zone}-{face.part}" + (f"-{face.item}" if face.item else "")

    @property
    def surface(self) -> str:
        """What the first grade works in: softwood, hardwood, or an old film on either."""
        return "film" if self.condition == "old-film" else self.group

    @property
    def penetrating(self) -> bool:
        """Whether what is to be put on goes into the wood; so if nothing is said."""
        return self.coating is None or not self.coating.film


def practice_of(x: Inputs, ledger: Ledger, known: RecordLookup) -> SandingPractice:
    """Return the practice asked for; practitioners disagree where to end, so the default is said."""
    if x.practice is not None:
        return x.practice
    found: SandingPractice = known.record("sanding-practice", PRACTICE)
    ledger.default("practice", PRACTICE, effect=None, why="most sources end coarse before a penetrating finish")
    return found


def spots(x: Inputs, practice: SandingPractice, ledger: Ledger, known: RecordLookup) -> list[ResolvedFace]:
    """Return the faces in the order their sequences are found in; gap faces are worked apart."""
    faces = x.faces or (SandFace(zone=WHOLE, part="field", area=x.area or 0.0),)
    choices = {choice.part: choice for choice in x.parts}
    _say_defaults(x, faces, ledger)
    found = []
    for place, face in enumerate(faces):
        if face.part == "gap-faces":
            continue
        species = face.species or x.species
        choice = choices.get(face.part)
        usual: Machine = known.record("machine", practice.machines[face.part])
        machine = usual if choice is None or choice.machine is None else choice.machine
        found.append(
            ResolvedFace(
                face=face,
                place=place,
                species=species,
                group="softwood" if species is None else species.group,
                coating=face.coating or x.coating,
                condition=condition_of(face, x) or _milder(face.part, condition_of_all(x) or CONDITION, ledger),
                machine=machine,
                choice=choice,
                speed=None if choice is None else choice.speed_fraction,
                grooved=(face.profile or x.profile) == "grooved",
                cupped=cupped(face, x),
                blend=usual if machine.leaves_marks and not usual.leaves_marks else None,
            )
        )
    return sorted(found, key=lambda spot: ORDER.index(spot.face.part) if spot.face.part in ORDER else len(ORDER))


def _milder(part: Part, condition: Condition, ledger: Ledger) -> Condition:
    """Return a floor's condition for a part of it; what stands upright wears more slowly and is taken as grey."""
    if part in WALKED or condition not in ("raised-grain", "splintered"):
        return condition
    why = (
        "erosion is slower on upright faces (Wood and Fiber Science, on the angle of exposure); say so where it is not"
    )
    ledger.default(f"condition.{part}", CONDITION, effect=None, why=why)
    return CONDITION


def _say_defaults(x: Inputs, faces: tuple[SandFace, ...], ledger: Ledger) -> None:
    if x.species is None and any(face.species is None for face in faces):
        ledger.default(
            "species", "a softwood of 500 kg/m3", effect=1.0, why="for want of a species; hardwood takes twice"
        )
    if condition_of_all(x) is None and any(condition_of(face, x) is None for face in faces):
        ledger.default(
            "condition", CONDITION, effect=2.0, why="bare, grey and sound; worn wood takes three times as much"
        )
    if x.coating is None and any(face.coating is None for face in faces):
        ledger.default("coating", "a penetrating finish", effect=None, why="it sets how fine the last grade may be")
