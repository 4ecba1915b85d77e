"""The faces with their wood, condition and machine."""

from __future__ import annotations

from typing import Final

from latewood.calculators.abrasive_sequence.fields import SandFace
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.surface_rules import condition_of, condition_of_all, cupped
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.records import Condition
from latewood.rules.faces import WALKED, WHOLE, Part
from latewood.rules.sanding_work.method import Method, SandedFace

#: Field first: perimeter and stairs end where the field of their zone ends.
ORDER: Final[tuple[Part, ...]] = ("field", "perimeter", "stair")

#: What is taken where the condition is not given, and another likely one.
CONDITION: Final[Condition] = "grey"
#: The least and the most that bare wood may ask for instead.
MILDEST_AND_WORST: Final[tuple[Condition, ...]] = ("faded-oil", "splintered")
#: A light softwood and a dense hardwood.
WOODS: Final = ("western-redcedar", "unidentified-dense-hardwood")


def sanded_faces(x: Inputs, method: Method, ledger: Ledger, known: RecordLookup) -> tuple[SandedFace, ...]:
    """Return the faces in the order their sequences are found in; gap faces are worked apart."""
    faces = x.faces or (SandFace(zone=WHOLE, part="field", area=x.area or 0.0),)
    _state_defaults(x, faces, ledger, known)
    found = []
    for place, face in enumerate(faces):
        if face.part == "gap-faces":
            continue
        species = face.species or x.species
        found.append(
            SandedFace(
                zone=face.zone,
                part=face.part,
                item=face.item,
                area=face.area,
                length=face.length,
                count=face.count,
                place=place,
                species=species,
                group="softwood" if species is None else species.group,
                coating=face.coating or x.coating,
                condition=condition_of(face) or _milder(face.part, condition_of_all(x) or CONDITION, ledger),
                machine=method.machine(face.part),
                choice=method.choices.get(face.part),
                trials_hold=face.trials_hold is not False,
                grooved=(face.profile or x.profile) == "grooved",
                cupped=cupped(face, x),
                blend=method.blend(face.part),
            )
        )
    return tuple(sorted(found, key=lambda one: ORDER.index(one.part) if one.part in ORDER else len(ORDER)))


def _milder(part: Part, condition: Condition, ledger: Ledger) -> Condition:
    """Return a floor's condition for a part of it; what stands upright wears more slowly and is taken as grey."""
    if part in WALKED or condition not in ("raised-grain", "splintered"):
        return condition
    ledger.default(f"condition.{part}", CONDITION, why=clause("upright-wears-slower"))
    return CONDITION


def _state_defaults(x: Inputs, faces: tuple[SandFace, ...], ledger: Ledger, known: RecordLookup) -> None:
    if x.species is None and any(face.species is None for face in faces):
        others = tuple(known.record("species", id) for id in WOODS)
        ledger.default("species", clause("softwood-of-500"), others=others, why=clause("hardwood-takes-twice"))
    if condition_of_all(x) is None and any(condition_of(face) is None for face in faces):
        ledger.default("condition", CONDITION, others=MILDEST_AND_WORST, why=clause("grey-and-sound"))
    if x.coating is None and any(face.coating is None for face in faces):
        given = clause("penetrating-finish")
        ledger.default("coating", given, why=clause("finish-sets-last-grade"))
