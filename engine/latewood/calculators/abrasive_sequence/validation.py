"""What in the inputs of abrasive-sequence cannot be meant: every fault at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.messages import Name, refusal
from latewood.problems import Fault, InputProblem
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults, proof_faults
from latewood.rules.sanding_work.validation import sanding_faults


def check(x: Inputs, grades: Collection[str]) -> None:
    """Raise `InputProblem` with every fault between fields; each field by itself has been read already.

    ``grades`` are the ids of all in the catalogue.
    """
    faults = [*_surfaces(x), *sanding_faults(x, grades), *_wear(x), *_patches(x), *_hazards(x)]
    if faults:
        raise InputProblem(faults)


def _surfaces(x: Inputs) -> Iterator[Fault]:
    if x.area is not None and x.faces:
        yield refusal("area-and-faces", "/faces")
    named = [(face.zone, face.part, face.item) for face in x.faces]
    for key, count in Counter(named).items():
        if count > 1:
            place = [index for index, other in enumerate(named) if other == key][1]
            yield refusal("face-twice", f"/faces/{place}", face=[Name(part) for part in key if part])


def _wear(x: Inputs) -> Iterator[Fault]:
    if x.wear is not None and abs(x.wear.steady + x.wear.falling - 1) > 1e-6:
        yield refusal("cut-is-no-whole", "/wear/falling")


def _hazards(x: Inputs) -> Iterator[Fault]:
    yield from (*lead_test_faults(x, today=x.as_of), *proof_faults(x), *built_ahead(x.year_built, x.as_of))
    for index, face in enumerate(x.faces):
        at = f"/faces/{index}"
        yield from (*lead_test_faults(face, at, today=x.as_of), *proof_faults(face, at))


def _patches(x: Inputs) -> Iterator[Fault]:
    zones = {face.zone for face in x.faces} or {"main"}
    for index, patch in enumerate(x.patches):
        if patch.zone is not None and patch.zone not in zones:
            known, at = [Name(zone) for zone in sorted(zones)], f"/patches/{index}/zone"
            yield refusal("patch-zone-unknown", at, zone=Name(patch.zone), zones=known)
