"""How many discs, sheets and belts of each grade go down on a job."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from latewood.formulas import wear
from latewood.provenance import Ledger
from latewood.records import Machine
from latewood.rules.sanding_work.abrasive_grades import Ladder, fits, holes_differ, named
from latewood.rules.sanding_work.fields import DiscWear, SandStep
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Diameter of the disc that a practice states lives for (m): the meaning of its field `disc_life`.
LIVES_FOR: Final = 0.150


@dataclass
class Consumed:
    """Abrasive worn so far, by grade and machine."""

    method: Method
    ledger: Ledger
    worn: dict[tuple[str, str], Number] = field(default_factory=dict)
    machines: dict[str, Machine] = field(default_factory=dict)

    def add(self, face: SandedFace, steps: tuple[SandStep, ...], efforts: tuple[Number, ...]) -> None:
        """Count what one face wears; nothing where its area is not known."""
        for place, (step, effort) in enumerate(zip(steps, efforts, strict=True)):
            worn = (
                self._by_time(step) if self.method.wear is not None else self._by_area(face, step, effort, place == 0)
            )
            if worn is not None:
                machine = step.machine or face.machine
                key = (step.abrasive, machine.id)
                self.worn[key] = self.worn[key] + worn if key in self.worn else worn
                self.machines[machine.id] = machine

    def _by_area(self, face: SandedFace, step: SandStep, effort: Number, first: bool) -> Number | None:
        if face.area <= 0:
            return None
        life = self.ledger.take(self.method.practice.disc_life[face.surface if first else face.group])
        if not first:
            life = life * self.ledger.take(self.method.practice.later_life)
        machine = step.machine or face.machine
        if mismatched(self.method.ladder, machine, step.abrasive) is not None:
            life = life * self.ledger.take(self.method.practice.mismatch)
        about = f"{face.id}, {step.id}"
        size = self._area_of(machine)
        reference = spread.central(self.ledger.step(wear.pad_area, "disc the lives are stated for", diameter=LIVES_FOR))
        life = self.ledger.step(wear.life_by_size, about, life=life, abrasive_area=size, reference_area=reference)
        return self.ledger.step(wear.discs_worn, about, area=face.area, effort=effort, life=life)

    def _area_of(self, machine: Machine) -> Number:
        if machine.diameter is not None:
            return self.ledger.step(wear.pad_area, machine.id, diameter=self.ledger.take(machine.diameter))
        if machine.abrasive_area is None:
            raise ValueError(f"{machine.path} has neither diameter nor area")
        return self.ledger.take(machine.abrasive_area)

    def _by_time(self, step: SandStep) -> Number | None:
        """Count by the wear the caller measured: a disc is changed when its cut has fallen to a share of new."""
        measured = self.method.wear
        if measured is None or step.time is None:
            return None
        constants = {"steady": measured.steady, "falling": measured.falling, "wear_rate": measured.wear_rate}
        if never_slow(measured):
            return 1e-6
        lasts = spread.central(
            self.ledger.step(wear.disc_time, "until it is changed", change_at=measured.change_at, **constants)
        )
        self.ledger.step(wear.cut_after, "at the change", time=lasts, **constants)
        removed = self.ledger.step(wear.removed_until, "until it is changed", time=lasts, **constants)
        self.ledger.step(wear.mean_cut, "until it is changed", removed=spread.central(removed), time=lasts)
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
