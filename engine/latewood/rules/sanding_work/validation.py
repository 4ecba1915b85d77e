"""What in the stock, grades and machines of a sanding cannot be meant."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator
from typing import Any

from latewood.messages import Name, Titled, Word, refusal
from latewood.problems import Fault
from latewood.records import Abrasive


def sanding_faults(x: Any, grades: Collection[str]) -> Iterator[Fault]:
    """Find faults between the fields of sanding that calculators share. ``grades`` are the ids of the catalogue."""
    yield from (*_ends(x), *_stock(x, grades), *_parts(x))


def _ends(x: Any) -> Iterator[Fault]:
    pairs = [("", getattr(x, "first_grade", None), x.last_grade)]
    pairs += [(f"/parts/{index}", part.first_grade, part.last_grade) for index, part in enumerate(x.parts)]
    for at, first, last in pairs:
        if first is not None and last is not None and _finer(first, last):
            yield refusal("grades-run-finer", f"{at}/last_grade", first=Titled(first), last=Titled(last))


def _finer(one: Abrasive, other: Abrasive) -> bool:
    return one.grain_size.si < other.grain_size.si * (1 - 1e-9)


def _stock(x: Any, grades: Collection[str]) -> Iterator[Fault]:
    for index, item in enumerate(x.stock):
        at = f"/stock/{index}"
        own = (item.id is not None, item.grain_size is not None)
        if item.grade is not None and any(own):
            yield refusal("stock-known-and-own", at)
        elif item.grade is None and own != (True, True):
            yield refusal("stock-own-incomplete", at)
        elif item.id is not None and item.id in grades:
            yield refusal("stock-name-taken", f"{at}/id", name=Name(item.id))
    sizes: dict[str, float] = {}
    for index, item in enumerate(x.stock):
        size = item.grain_size
        if item.id is not None and size is not None and abs(sizes.setdefault(item.id, size) - size) > 1e-9:
            yield refusal("stock-two-sizes", f"/stock/{index}/grain_size", name=Name(item.id))


def _parts(x: Any) -> Iterator[Fault]:
    counted = Counter(part.part for part in x.parts)
    for index, part in enumerate(x.parts):
        if counted[part.part] > 1:
            yield refusal("sanded-part-twice", f"/parts/{index}", part=Word("part", part.part))
