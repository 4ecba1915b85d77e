"""How many discs, sheets and belts of each grade go down on faces, and how many to have."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from latewood.formulas import wear
from latewood.messages import clause, in_english
from latewood.provenance import Ledger
from latewood.records import Machine
from latewood.rules.sanding_work.abrasive_grades import Ladder, fits, holes_differ, named
from latewood.rules.sanding_work.fields import DiscWear, SandStep
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Diameter of the disc that a practice states lives for (m): the meaning of its field `disc_life`.
LIVES_FOR: Final = 0.150
#: Chance that the discs suffice where none is asked for.
CONFIDENCE: Final = 0.9


@dataclass(frozen=True)
class Worn:
    """Pieces of one grade that a machine wears."""

    grade: str
    machine: Machine
    pieces: Number


@dataclass(frozen=True)
class Pieces:
    """Whole pieces of one grade for a machine: by the median, and how many to have."""

    grade: str
    machine: Machine
    typical: int
    count: int


def pieces_of(worn: Iterable[Worn], ladder: Ladder, confidence: float) -> list[Pieces]:
    """Return whole pieces by the median and at a confidence, coarse to fine.

    The confidence is that of a machine's pieces together, shared out among its grades: a chance for each grade by
    itself would add the worst case of one to the worst case of the next.
    """
    machines: dict[str, Machine] = {}
    grades: dict[str, dict[str, Number]] = {}
    for one in worn:
        machines[one.machine.id] = one.machine
        held = grades.setdefault(one.machine.id, {})
        held[one.grade] = held[one.grade] + one.pieces if one.grade in held else one.pieces
    found = []
    for id, own in grades.items():
        together = spread.total(list(own.values()))
        typical, count = (_shared(own, together, quantile) for quantile in (0.5, confidence))
        found += [Pieces(grade, machines[id], typical[grade], max(typical[grade], count[grade])) for grade in own]
    return sorted(found, key=lambda one: (-ladder.sizes[one.grade], one.grade, one.machine.id))


def _shared(grades: Mapping[str, Number], together: Number, quantile: float) -> dict[str, int]:
    """Return a quantile of the sum in whole pieces, shared as the grades' own stand to one another; one at least."""
    whole = math.ceil(spread.quantile(together, quantile) - 1e-9)
    own = {grade: spread.quantile(number, quantile) for grade, number in grades.items()}
    scale = whole / math.fsum(own.values())
    exact = {grade: number * scale for grade, number in own.items()}
    counts = {grade: max(1, math.floor(number + 1e-9)) for grade, number in exact.items()}
    by_rest = sorted(exact, key=lambda grade: (counts[grade] - exact[grade], grade))
    for grade in by_rest[: max(0, whole - sum(counts.values()))]:
        counts[grade] += 1
    return counts


def worn_by(
    face: SandedFace, steps: Sequence[SandStep], efforts: Sequence[Number], method: Method, ledger: Ledger
) -> Iterator[Worn]:
    """Yield what a face wears, step by step; nothing where its area is not known."""
    for place, (step, effort) in enumerate(zip(steps, efforts, strict=True)):
        if method.wear is not None:
            pieces = _by_time(step, method.wear, ledger)
        else:
            pieces = _by_area(face, step, effort, place == 0, method, ledger)
        if pieces is not None:
            yield Worn(step.abrasive, step.machine or face.machine, pieces)


def _by_area(
    face: SandedFace, step: SandStep, effort: Number, first: bool, method: Method, ledger: Ledger
) -> Number | None:
    if face.area <= 0:
        return None
    machine, surface = step.machine or face.machine, face.surface if first else face.group
    about, key = f"{face.id}, {step.id}", (life_of, first, surface, step.abrasive, machine.id)
    life = ledger.once(key, life_of, surface, step.abrasive, machine, about, method, ledger, later=not first)
    return ledger.step(wear.discs_worn, about, area=face.area, effort=effort, life=life)


def life_of(
    surface: str, grade: str, machine: Machine, about: str, method: Method, ledger: Ledger, *, later: bool
) -> Number:
    """Return the area that a piece of a grade lasts for under a machine, as a first grade or a later one."""
    practice = method.practice
    life = ledger.take(practice.disc_life[surface])
    if later:
        life = life * ledger.take(practice.later_life)
    if mismatched(method.ladder, machine, grade) is not None:
        life = life * ledger.take(practice.mismatch)
    size = _area_of(machine, ledger)
    reference = spread.central(ledger.step(wear.pad_area, in_english(clause("disc-of-lives")), diameter=LIVES_FOR))
    return ledger.step(wear.life_by_size, about, life=life, abrasive_area=size, reference_area=reference)


def _area_of(machine: Machine, ledger: Ledger) -> Number:
    if machine.diameter is not None:
        return ledger.step(wear.pad_area, machine.id, diameter=ledger.take(machine.diameter))
    if machine.abrasive_area is None:
        raise ValueError(f"{machine.path} has neither diameter nor area")
    return ledger.take(machine.abrasive_area)


def _by_time(step: SandStep, measured: DiscWear, ledger: Ledger) -> Number | None:
    """Count by the wear the caller measured: a disc is changed when its cut has fallen to a share of new."""
    if step.time is None:
        return None
    if never_slow(measured):
        return 1e-6
    constants = {"steady": measured.steady, "falling": measured.falling, "wear_rate": measured.wear_rate}
    until = in_english(clause("until-disc-is-changed"))
    lasts = spread.central(ledger.step(wear.disc_time, until, change_at=measured.change_at, **constants))
    ledger.step(wear.cut_after, "at the change", time=lasts, **constants)
    removed = ledger.step(wear.removed_until, until, time=lasts, **constants)
    ledger.step(wear.mean_cut, until, removed=spread.central(removed), time=lasts)
    return step.time / lasts


def never_slow(wear: DiscWear) -> bool:
    """Say whether a disc keeps so much of its cut that it is never changed: one of each grade is counted."""
    return not wear.change_at * (wear.steady + wear.falling) > wear.steady * (1 + 1e-9)


def mismatched(ladder: Ladder, machine: Machine, grade: str) -> int | None:
    """Return the place in the stock of discs of a grade that go on a pad and have other holes; None where one fits."""
    items = [item for item in ladder.stock if named(item) == grade and fits(item, machine)]
    if not items or not all(holes_differ(item, machine) for item in items):
        return None
    return ladder.stock.index(items[0])
