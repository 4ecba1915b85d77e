"""What the faces of a job come to together."""

from __future__ import annotations

from latewood import spread
from latewood.calculators._abrasive_sequence.pace import rate_of
from latewood.calculators._abrasive_sequence.spots import Spot
from latewood.calculators._abrasive_sequence.work import Work
from latewood.declare import Known
from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
from latewood.spread import Number


def deepest(works: list[tuple[Spot, Work]]) -> Number | None:
    """Return how deep the floor is sanded where it is sanded deepest; None where no floor is."""
    floors = [made.removal for spot, made in works if spot.face.part in ("field", "perimeter")]
    return max(floors, key=spread.high, default=None)


def total_of(numbers: list[Number | None]) -> Number | None:
    """Return the sum of what is known; None where nothing is."""
    given = [number for number in numbers if number is not None]
    return spread.total(given) if given else None


def vacuum_time(
    works: list[tuple[Spot, Work]], practice: SandingPractice, ledger: Ledger, known: Known
) -> Number | None:
    """Return the time of vacuuming the floor after each grade; None where no floor is sanded."""
    swept = sum(spot.face.area * len(made.steps) for spot, made in works if spot.face.part in WALKED)
    if swept == 0:
        return None
    rate = rate_of(practice, "floor", ledger, known)
    return ledger.step(pace.time_by_area, "vacuum after each grade", area=swept, pace=rate)
