"""What the faces of a job come to together."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from latewood.calculators.abrasive_sequence.result import AbrasiveCount, ZoneSanding
from latewood.formulas import exposure
from latewood.provenance import Ledger
from latewood.rules.faces import FLOOR
from latewood.rules.sanding_work.abrasive_grades import Ladder, fits, named
from latewood.rules.sanding_work.consumed import pieces_of
from latewood.rules.sanding_work.floor_work import Sanded, floor_work
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def deepest(done: Sequence[Sanded]) -> Number | None:
    """Return how deep the floor is sanded where it is sanded deepest; None where no floor is."""
    floors = [made.removal for face, made in done if face.part in FLOOR]
    return max(floors, key=spread.high, default=None)


def vibration(done: Sequence[Sanded], ledger: Ledger) -> Number | None:
    """Return the daily exposure of one person who does all of it, or as much as a day of 8 h holds."""
    timed = [
        (face.id, ledger.take(face.machine.vibration), spread.central(made.time))
        for face, made in done
        if face.machine.powered and made.time is not None and face.machine.vibration is not None
    ]
    hours = sum(time for _, _, time in timed)
    if not hours:
        return None
    share = min(1.0, exposure.DAY / hours)
    parts = [
        ledger.step(exposure.daily_vibration, id, vibration=vibration, time=time * share) ** 2
        for id, vibration, time in timed
    ]
    return spread.total(parts) ** 0.5


def floors(
    faces: Iterable[SandedFace], done: Sequence[Sanded], method: Method, confidence: float
) -> tuple[ZoneSanding, ...]:
    """Return what each floor comes to that is sanded whole, its field and perimeter together."""
    # All it adds up is in the working of the faces and of the whole.
    aside = Ledger.scratch()
    made = {face.id: (face, work) for face, work in done}
    by_zone: dict[str, list[SandedFace]] = {}
    for face in sorted(faces, key=lambda face: face.place):
        if face.part in FLOOR:
            by_zone.setdefault(face.zone, []).append(face)
    return tuple(
        ZoneSanding(id=zone, **vars(floor_work([made[face.id] for face in own], method, confidence, aside)))
        for zone, own in by_zone.items()
        if all(face.id in made for face in own)
    )


def abrasive_counts(done: Sequence[Sanded], ladder: Ladder, confidence: float) -> tuple[AbrasiveCount, ...]:
    """Return whole pieces by the median and at the confidence asked for, less what is at hand, in boxes as sold."""
    left: dict[str, int] = {}
    for item in ladder.stock:
        left[named(item)] = left.get(named(item), 0) + (item.at_hand or 0)
    rows = []
    for one in pieces_of((worn for _, made in done for worn in made.worn), ladder, confidence):
        stocked = [item for item in ladder.stock if named(item) == one.grade and fits(item, one.machine)]
        have = min(left.get(one.grade, 0), one.count) if stocked else 0
        left[one.grade] = left.get(one.grade, 0) - have
        box = max((item.per_box or 1 for item in stocked), default=1)
        boxes = math.ceil((one.count - have) / box)
        rows.append(
            AbrasiveCount(
                id=f"{one.grade}-{one.machine.id}",
                abrasive=one.grade,
                machine=one.machine,
                form=one.machine.abrasive,
                typical_count=one.typical,
                count=one.count,
                at_hand=have,
                to_buy=boxes * box,
                boxes=boxes if box > 1 else None,
            )
        )
    return tuple(rows)
