"""What the faces of a job come to together."""

from __future__ import annotations

from collections.abc import Mapping

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.pace import rate_of
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.calculators.abrasive_sequence.work import Work
from latewood.declare import RecordLookup
from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.faces import WALKED
from latewood.rules.hazards import worst
from latewood.rules.hazards_found import Found
from latewood.rules.waste import WasteRow, by_mass, heats_itself
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def deepest(works: list[tuple[ResolvedFace, Work]]) -> Number | None:
    """Return how deep the floor is sanded where it is sanded deepest; None where no floor is."""
    floors = [made.removal for spot, made in works if spot.face.part in ("field", "perimeter")]
    return max(floors, key=spread.high, default=None)


def total_of(numbers: list[Number | None]) -> Number | None:
    """Return the sum of what is known; None where nothing is."""
    given = [number for number in numbers if number is not None]
    return spread.total(given) if given else None


def vacuum_time(
    works: list[tuple[ResolvedFace, Work]], practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return the time of vacuuming the floor after each grade; None where no floor is sanded."""
    swept = sum(spot.face.area * len(made.steps) for spot, made in works if spot.face.part in WALKED)
    if swept == 0:
        return None
    rate = rate_of(practice, "floor", ledger, known)
    return ledger.step(pace.time_by_area, "vacuum after each grade", area=swept, pace=rate)


def dust_left(
    x: Inputs,
    works: list[tuple[ResolvedFace, Work]],
    mass: Number | None,
    hazards: Mapping[str, Found],
    ledger: Ledger,
    known: RecordLookup,
) -> tuple[WasteRow, ...]:
    """Return the dust as waste: that of an oiled surface heats itself, as its cloths do. Nothing where none is made."""
    if mass is None:
        return ()
    sanded = [hazards[spot.id] for spot, _ in works]
    hazardous = worst(*(one for found in sanded for one in (found.arsenical, found.lead)))
    olds = [spot.face.old_coating or x.old_coating for spot, _ in works]
    oil = any(heats_itself(old.binder, known) for old in olds if old is not None and old != "none")
    return (by_mass("sanding-dust", mass, ledger, known, hazardous=hazardous, oil=oil),)
