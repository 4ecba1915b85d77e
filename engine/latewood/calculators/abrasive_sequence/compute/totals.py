"""What the faces of a job come to together."""

from __future__ import annotations

import math
from collections.abc import Sequence

from latewood.calculators.abrasive_sequence.result import AbrasiveCount
from latewood.formulas import exposure, pace
from latewood.provenance import Ledger
from latewood.records import Machine
from latewood.rules.faces import WALKED
from latewood.rules.sanding_work.abrasive_grades import Ladder, fits, named
from latewood.rules.sanding_work.consumed import Consumed
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.pace import rate_of
from latewood.rules.sanding_work.work import Work
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: A face, and the work on it.
Sanded = tuple[SandedFace, Work]


def deepest(done: Sequence[Sanded]) -> Number | None:
    """Return how deep the floor is sanded where it is sanded deepest; None where no floor is."""
    floors = [made.removal for face, made in done if face.part in ("field", "perimeter")]
    return max(floors, key=spread.high, default=None)


def total_of(numbers: list[Number | None]) -> Number | None:
    """Return the sum of what is known; None where nothing is."""
    given = [number for number in numbers if number is not None]
    return spread.total(given) if given else None


def vacuum_time(done: Sequence[Sanded], method: Method, ledger: Ledger) -> Number | None:
    """Return the time of vacuuming the floor after each grade; None where no floor is sanded."""
    swept = sum(face.area * len(made.steps) for face, made in done if face.part in WALKED)
    if swept == 0:
        return None
    rate = rate_of("floor", method, ledger)
    return ledger.step(pace.time_by_area, "vacuum after each grade", area=swept, pace=rate)


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


def abrasive_counts(consumed: Consumed, confidence: float) -> tuple[AbrasiveCount, ...]:
    """Return whole pieces by the median and at the confidence asked for, less what is at hand."""
    ladder, machines = consumed.method.ladder, consumed.machines
    left: dict[str, int] = {}
    for item in ladder.stock:
        left[named(item)] = left.get(named(item), 0) + (item.at_hand or 0)
    rows = []
    for grade, machine in sorted(consumed.worn, key=lambda key: (-ladder.sizes[key[0]], key)):
        worn = consumed.worn[grade, machine]
        count = _whole(spread.quantile(worn, confidence))
        have = min(left.get(grade, 0), count) if _fit(ladder, grade, machines[machine]) else 0
        left[grade] = left.get(grade, 0) - have
        rows.append(
            AbrasiveCount(
                id=f"{grade}-{machine}",
                abrasive=grade,
                machine=machines[machine],
                form=machines[machine].abrasive,
                typical_count=_whole(spread.value(worn)),
                count=count,
                at_hand=have,
                to_buy=count - have,
            )
        )
    return tuple(rows)


def _fit(ladder: Ladder, grade: str, machine: Machine) -> bool:
    return any(named(item) == grade and fits(item, machine) for item in ladder.stock)


def _whole(worn: float) -> int:
    return max(1, math.ceil(worn - 1e-9))
