"""What sanding a floor comes to: its field and perimeter together, in depth, hours, discs and dust."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from latewood.formulas import pace, removal, wear
from latewood.messages import clause, in_english
from latewood.provenance import Ledger
from latewood.rules.faces import WALKED
from latewood.rules.sanding_work.consumed import pieces_of
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sanding_work.work import Work
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: What every estimate of sanding is computed by.
FORMULAS: Final = (
    removal.ridge_height,
    removal.layer_depth,
    removal.mean_depth,
    removal.depth_at_density,
    removal.scratch_depth,
    removal.relative_cut,
    removal.machine_cut,
    removal.removal_per_pass,
    removal.passes_needed,
    removal.dust_mass_per_area,
    wear.pad_area,
    wear.life_by_size,
    wear.discs_worn,
    pace.time_by_area,
    pace.time_by_length,
    pace.time_by_count,
    pace.smaller_pad_pace,
)

#: A face, and the work on it.
Sanded = tuple[SandedFace, Work]


@dataclass(frozen=True)
class FloorWork:
    """What sanding one floor comes to. Times are left out where no pace is known."""

    removal: Number
    sanding_time: Number | None
    vacuum_time: Number | None
    dust_mass: Number | None
    typical_count: int
    disc_count: int


def floor_work(floor: Sequence[Sanded], method: Method, confidence: float, ledger: Ledger) -> FloorWork:
    """Return what the faces of a floor come to together; ``floor`` holds one at least."""
    pieces = pieces_of((one for _, made in floor for one in made.worn), method.ladder, confidence)
    times = [made.time for _, made in floor]
    return FloorWork(
        removal=max((made.removal for _, made in floor), key=spread.high),
        sanding_time=None if any(time is None for time in times) else total_of(times),
        vacuum_time=vacuum_time(floor, method, ledger),
        dust_mass=total_of([made.dust_mass for _, made in floor]),
        typical_count=sum(one.typical for one in pieces),
        disc_count=sum(one.count for one in pieces),
    )


def total_of(numbers: Sequence[Number | None]) -> Number | None:
    """Return the sum of what is known; None where nothing is."""
    given = [number for number in numbers if number is not None]
    return spread.total(given) if given else None


def vacuum_time(done: Sequence[Sanded], method: Method, ledger: Ledger) -> Number | None:
    """Return the time of vacuuming the floor after each grade; None where no floor is sanded."""
    swept = sum(face.area * len(made.steps) for face, made in done if face.part in WALKED)
    if swept == 0:
        return None
    rate = method.task("floor", ledger)
    return ledger.step(pace.time_by_area, in_english(clause("vacuum-after-grades")), area=swept, pace=rate)
