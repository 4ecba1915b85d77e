"""What in the inputs of abrasive-sequence cannot be meant: every fault at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from latewood.calculators.abrasive_sequence.inputs import Inputs
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


def _conflict(at: str, detail: str, expected: str) -> Fault:
    return Fault(pointer=at, code="conflict", detail=detail, expected=expected)


def _surfaces(x: Inputs) -> Iterator[Fault]:
    if x.area is not None and x.faces:
        yield _conflict("/faces", "one area and a list of faces are both given", "either area or faces")
    named = [(face.zone, face.part, face.item) for face in x.faces]
    for key, count in Counter(named).items():
        if count > 1:
            place = [index for index, other in enumerate(named) if other == key][1]
            detail = f"face {' '.join(part for part in key if part)} is given twice"
            yield Fault(pointer=f"/faces/{place}", code="repeated", detail=detail, expected="each face once")


def _wear(x: Inputs) -> Iterator[Fault]:
    if x.wear is not None and abs(x.wear.steady + x.wear.falling - 1) > 1e-6:
        yield _conflict(
            "/wear/falling", "the two parts of the cut do not add up to a new disc's", "steady + falling = 100 %"
        )


def _hazards(x: Inputs) -> Iterator[Fault]:
    yield from (*lead_test_faults(x, today=x.as_of), *proof_faults(x), *built_ahead(x.year_built, x.as_of))
    for index, face in enumerate(x.faces):
        at = f"/faces/{index}"
        yield from (*lead_test_faults(face, at, today=x.as_of), *proof_faults(face, at))


def _patches(x: Inputs) -> Iterator[Fault]:
    zones = {face.zone for face in x.faces} or {"main"}
    for index, patch in enumerate(x.patches):
        if patch.zone is not None and patch.zone not in zones:
            detail = f"there is no face in zone {patch.zone}"
            expected = "one of " + ", ".join(sorted(zones))
            yield Fault(pointer=f"/patches/{index}/zone", code="unknown-id", detail=detail, expected=expected)
