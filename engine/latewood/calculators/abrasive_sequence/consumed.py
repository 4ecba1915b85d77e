"""How many discs, sheets and belts of each grade go down on a job."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Final

from latewood.calculators.abrasive_sequence.abrasive_grades import Ladder, fits, holes_differ, named
from latewood.calculators.abrasive_sequence.answer import AbrasiveCount, SandStep
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.formulas import wear
from latewood.provenance import Ledger
from latewood.records import Machine, SandingPractice
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Chance that the discs suffice where none is asked for.
CONFIDENCE: Final = 0.9

#: Diameter of the disc that a practice states lives for (m): the meaning of its field `disc_life`.
LIVES_FOR: Final = 0.150


@dataclass
class Consumed:
    """Abrasive worn so far, by grade and machine."""

    x: Inputs
    practice: SandingPractice
    ladder: Ladder
    ledger: Ledger
    worn: dict[tuple[str, str], Number] = field(default_factory=dict)
    machines: dict[str, Machine] = field(default_factory=dict)

    def add(self, spot: ResolvedFace, steps: tuple[SandStep, ...], efforts: tuple[Number, ...]) -> None:
        """Count what one face wears; nothing where its area is not known."""
        for place, (step, effort) in enumerate(zip(steps, efforts, strict=True)):
            worn = self._by_time(step) if self.x.wear is not None else self._by_area(spot, step, effort, place == 0)
            if worn is not None:
                machine = step.machine or spot.machine
                key = (step.abrasive, machine.id)
                self.worn[key] = self.worn[key] + worn if key in self.worn else worn
                self.machines[machine.id] = machine

    def _by_area(self, spot: ResolvedFace, step: SandStep, effort: Number, first: bool) -> Number | None:
        if spot.face.area <= 0:
            return None
        life = self.ledger.take(self.practice.disc_life[spot.surface if first else spot.group])
        if not first:
            life = life * self.ledger.take(self.practice.later_life)
        machine = step.machine or spot.machine
        if self._mismatched(machine, step.abrasive):
            life = life * self.ledger.take(self.practice.mismatch)
        about = f"{spot.id}, {step.id}"
        size = self._area_of(machine)
        reference = spread.central(self.ledger.step(wear.pad_area, "disc the lives are stated for", diameter=LIVES_FOR))
        life = self.ledger.step(wear.life_by_size, about, life=life, abrasive_area=size, reference_area=reference)
        return self.ledger.step(wear.discs_worn, about, area=spot.face.area, effort=effort, life=life)

    def _area_of(self, machine: Machine) -> Number:
        if machine.diameter is not None:
            return self.ledger.step(wear.pad_area, machine.id, diameter=self.ledger.take(machine.diameter))
        if machine.abrasive_area is None:
            raise ValueError(f"{machine.path} has neither diameter nor area")
        return self.ledger.take(machine.abrasive_area)

    def _by_time(self, step: SandStep) -> Number | None:
        """Count by the wear the caller measured: a disc is changed when its cut has fallen to a share of new."""
        measured = self.x.wear
        if measured is None or step.time is None:
            return None
        constants = {"steady": measured.steady, "falling": measured.falling, "wear_rate": measured.wear_rate}
        if not measured.change_at * (measured.steady + measured.falling) > measured.steady * (1 + 1e-9):
            message = (
                f"A disc that keeps {measured.steady:.0%} of its cut never falls to {measured.change_at:.0%}: by this "
                "it is never changed. One of each grade is counted."
            )
            self.ledger.find("disc-never-slow", "warning", message, pointer="/wear/change_at")
            return 1e-6
        lasts = spread.central(
            self.ledger.step(wear.disc_time, "until it is changed", change_at=measured.change_at, **constants)
        )
        self.ledger.step(wear.cut_after, "at the change", time=lasts, **constants)
        removed = self.ledger.step(wear.removed_until, "until it is changed", time=lasts, **constants)
        self.ledger.step(wear.mean_cut, "until it is changed", removed=spread.central(removed), time=lasts)
        return step.time / lasts

    def _mismatched(self, machine: Machine, grade: str) -> bool:
        """Say whether the discs of a grade that go on this pad have other holes than it; once for each machine."""
        items = [item for item in self.ladder.stock if named(item) == grade and fits(item, machine)]
        if not items or not all(holes_differ(item, machine) for item in items):
            return False
        place = self.ladder.stock.index(items[0])
        message = (
            f"The holes of the {grade} discs do not match the pad of {machine.title} ({machine.holes} "
            "holes): less dust is caught, and a disc lasts half to four fifths as long."
        )
        self.ledger.find(
            "holes-do-not-match", "warning", message, pointer=f"/stock/{place}/disc_holes", machine=machine.id
        )
        return True

    def counts(self) -> tuple[AbrasiveCount, ...]:
        """Return whole pieces by the median and at the confidence asked for, less what is at hand."""
        confidence = CONFIDENCE if self.x.confidence is None else self.x.confidence
        left: dict[str, int] = {}
        for item in self.ladder.stock:
            left[named(item)] = left.get(named(item), 0) + (item.at_hand or 0)
        rows = []
        for grade, machine in sorted(self.worn, key=lambda key: (-self.ladder.sizes[key[0]], key)):
            worn = self.worn[grade, machine]
            count = _whole(spread.quantile(worn, confidence))
            have = min(left.get(grade, 0), count) if self._fit(grade, machine) else 0
            left[grade] = left.get(grade, 0) - have
            rows.append(
                AbrasiveCount(
                    id=f"{grade}-{machine}",
                    abrasive=grade,
                    machine=self.machines[machine],
                    form=self.machines[machine].abrasive,
                    typical_count=_whole(spread.value(worn)),
                    count=count,
                    at_hand=have,
                    to_buy=count - have,
                )
            )
        return tuple(rows)

    def _fit(self, grade: str, machine: str) -> bool:
        return any(named(item) == grade and fits(item, self.machines[machine]) for item in self.ladder.stock)


def _whole(worn: float) -> int:
    return max(1, math.ceil(worn - 1e-9))
