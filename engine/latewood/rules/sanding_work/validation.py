"""What in the stock, grades and machines of a sanding cannot be meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from typing import Any

from latewood.problems import Fault
from latewood.records import Abrasive


def sanding_faults(x: Any, grades: Collection[str]) -> Iterator[Fault]:
    """Find faults between the fields of sanding that calculators share. ``grades`` are the ids of the catalogue."""
    yield from (*_ends(x), *_stock(x, grades), *_parts(x))


def _conflict(at: str, detail: str, expected: str) -> Fault:
    return Fault(pointer=at, code="conflict", detail=detail, expected=expected)


def _ends(x: Any) -> Iterator[Fault]:
    pairs = [("", getattr(x, "first_grade", None), x.last_grade)]
    pairs += [(f"/parts/{index}", part.first_grade, part.last_grade) for index, part in enumerate(x.parts)]
    for at, first, last in pairs:
        if first is not None and last is not None and _finer(first, last):
            detail = f"{first.title} is finer than {last.title}: production runs coarse to fine"
            yield _conflict(f"{at}/last_grade", detail, "a last grade as fine as the first, or finer")


def _finer(one: Abrasive, other: Abrasive) -> bool:
    return one.grain_size.si < other.grain_size.si * (1 - 1e-9)


def _stock(x: Any, grades: Collection[str]) -> Iterator[Fault]:
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


def _parts(x: Any) -> Iterator[Fault]:
    counted = Counter(part.part for part in x.parts)
    for index, part in enumerate(x.parts):
        if counted[part.part] > 1:
            yield Fault(
                pointer=f"/parts/{index}",
                code="repeated",
                detail=f"{part.part} stands twice",
                expected="each part once",
            )
