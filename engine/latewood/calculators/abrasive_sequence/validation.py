"""What in the inputs of abrasive-sequence cannot be meant: every fault at once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.problems import Fault, InputProblem
from latewood.records import Abrasive
from latewood.rules.days import built_ahead
from latewood.rules.hazard_fields import lead_test_faults, proof_faults


def check(x: Inputs, grades: Collection[str]) -> None:
    """Raise `InputProblem` with every fault between fields; each field by itself has been read already.

    ``grades`` are the ids of all in the catalogue.
    """
    faults = [*_surfaces(x), *_ends(x), *_stock(x, grades), *_parts(x), *_patches(x), *_hazards(x)]
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


def _ends(x: Inputs) -> Iterator[Fault]:
    pairs = [("", x.first_grade, x.last_grade)]
    pairs += [(f"/parts/{index}", part.first_grade, part.last_grade) for index, part in enumerate(x.parts)]
    for at, first, last in pairs:
        if first is not None and last is not None and _finer(first, last):
            detail = f"{first.title} is finer than {last.title}: production runs coarse to fine"
            yield _conflict(f"{at}/last_grade", detail, "a last grade as fine as the first, or finer")


def _finer(one: Abrasive, other: Abrasive) -> bool:
    return one.grain_size.si < other.grain_size.si * (1 - 1e-9)


def _stock(x: Inputs, grades: Collection[str]) -> Iterator[Fault]:
    for index, item in enumerate(x.stock):
        at = f"/stock/{index}"
        own = (item.id is not None, item.grain_size is not None)
        if item.grade is not None and any(own):
            yield _conflict(at, "a grade of the shelf and one's own are both given", "grade, or id and grain_size")
        elif item.grade is None and own != (True, True):
            detail = "a grade that is not on the shelf has a name and a grain size"
            yield Fault(pointer=at, code="missing", detail=detail, expected="grade, or id and grain_size")
        elif item.id is not None and item.id in grades:
            detail = f"{item.id} is a grade of the shelf, with a size of its own"
            yield _conflict(f"{at}/id", detail, "grade, or another name")
    sizes: dict[str, float] = {}
    for index, item in enumerate(x.stock):
        size = item.grain_size
        if item.id is not None and size is not None and abs(sizes.setdefault(item.id, size) - size) > 1e-9:
            yield _conflict(f"/stock/{index}/grain_size", f"{item.id} has two sizes", "one size for each name")


def _parts(x: Inputs) -> Iterator[Fault]:
    counted = Counter(part.part for part in x.parts)
    for index, part in enumerate(x.parts):
        if counted[part.part] > 1:
            yield Fault(
                pointer=f"/parts/{index}",
                code="repeated",
                detail=f"{part.part} stands twice",
                expected="each part once",
            )
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
