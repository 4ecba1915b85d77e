"""The grades there are, those at hand, and each of them named in every system by its size."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from latewood.formulas.grain import nearest_grade
from latewood.messages import Code
from latewood.provenance import Ledger, Sourced
from latewood.records import Abrasive, Machine
from latewood.rules.sanding_work.fields import StockGrade

#: The system taken where no stock is given: the one sold everywhere.
SYSTEM = "fepa-p"

#: Half of the smallest step of that ladder, 1.19, as a ratio: so far a grade of another system may lie outside a range.
GRADE_TOLERANCE = 1.09


@dataclass(frozen=True)
class Ladder:
    """Sizes of all grades by id (m), and the stock they may be taken from; no stock is every grade of the P series."""

    sizes: dict[str, float]
    systems: dict[str, str]
    stock: tuple[StockGrade, ...]
    sourced: Mapping[str, Sourced]

    def at_hand(self, machine: Machine) -> list[str]:
        """Return the ids of grades that fit a machine: of any pad where the stock says nothing of a diameter."""
        if not self.stock:
            return [id for id, system in self.systems.items() if system == SYSTEM]
        return [named(item) for item in self.stock if fits(item, machine)]

    def reachable(self) -> dict[str, float]:
        """Return the sizes that a sequence may use: the stock, and what its systems, or the P series, could add."""
        wanted = {self.systems[named(item)] for item in self.stock} - {"other"} or {SYSTEM}
        own = {named(item) for item in self.stock}
        return {id: size for id, size in self.sizes.items() if id in own or self.systems[id] in wanted}

    def take(self, ids: Iterable[str], ledger: Ledger) -> None:
        """Write the sizes of grades into the basis; one's own are inputs."""
        for id in ids:
            if id in self.sourced:
                ledger.take(self.sourced[id])

    def nearest_within(self, ids: Sequence[str], preferred: str, coarsest: str, finest: str) -> str | None:
        """Return the grade of ``ids`` nearest to the preferred one, between two others; None where there is none."""
        inside = self.within(ids, coarsest, finest)
        if preferred in inside:
            return preferred
        return nearest_grade(self.sizes[preferred], inside) if inside else None

    def within(self, ids: Sequence[str], coarsest: str, finest: str) -> dict[str, float]:
        """Return the grades between two others, finest first; one of another system may lie a little outside."""
        low, high = self.sizes[finest] / GRADE_TOLERANCE, self.sizes[coarsest] * GRADE_TOLERANCE
        inside = {id: self.sizes[id] for id in ids if low <= self.sizes[id] <= high}
        return dict(sorted(inside.items(), key=lambda rung: (rung[1], rung[0])))


def named(item: StockGrade) -> str:
    """Return the id of a grade in stock."""
    return item.grade.id if item.grade is not None else str(item.id)


def graded(id: str) -> Code:
    """Return a grade as people write it: P60, CAMI 60."""
    return Code(id.upper().replace("-", " "))


def fits(item: StockGrade, machine: Machine) -> bool:
    """Say whether an abrasive goes on a machine: of its form, and of its size where the size is given."""
    if item.form is not None and item.form != machine.abrasive:
        return False
    if item.diameter is None:
        return True
    return machine.diameter is not None and abs(item.diameter - machine.diameter.si) < 2e-3


def ladder_of(stock: tuple[StockGrade, ...], records: Mapping[str, Abrasive]) -> Ladder:
    """Return all grades, the caller's own among them."""
    sizes = {id: record.grain_size.si for id, record in records.items()}
    systems: dict[str, str] = {id: record.system for id, record in records.items()}
    for item in stock:
        if item.grade is None and item.id is not None and item.grain_size is not None:
            sizes[item.id] = item.grain_size
            systems[item.id] = "other"
    return Ladder(sizes, systems, stock, {id: record.grain_size for id, record in records.items()})


def holes_differ(item: StockGrade, machine: Machine) -> bool:
    """Say whether the holes of a disc miss those of the pad; a net misses none, and a pad without holes has none."""
    return not item.net and item.disc_holes is not None and machine.holes > 0 and item.disc_holes != machine.holes
