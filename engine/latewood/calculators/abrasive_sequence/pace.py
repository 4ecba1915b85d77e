"""How long one pass over a face takes."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.declare import RecordLookup
from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.records.sanding import PIECES
from latewood.uncertainty.spread import Number

#: A round pad up to this size is held to be of the smaller kind, whose pace follows from that of the larger (m).
SMALL = 0.1375


def rate_of(practice: SandingPractice, task: str, ledger: Ledger, known: RecordLookup) -> Number:
    """Return the pace of a task beside the open floor, in the unit the task is counted in."""
    return ledger.take(known.record("rate", practice.rates[task]).pace)


def pace_of(
    spot: ResolvedFace, *, first: bool, practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return the time of one grade over the whole face (s); None where amount or pace is not known."""
    face = spot.face
    if face.part == "perimeter":
        if face.length is None:
            return None
        rate = rate_of(practice, "perimeter", ledger, known)
        return ledger.step(pace.time_by_length, spot.id, length=face.length, pace=rate)
    if face.part == "stair":
        if face.count is None:
            return None
        steps = rate_of(practice, "stair", ledger, known)
        return ledger.step(pace.time_by_count, spot.id, count=float(face.count), pace=steps)
    if face.area <= 0:
        return None
    if face.part in PIECES:
        return _by_area(face.area, rate_of(practice, face.part, ledger, known), spot, ledger)
    field = _field_pace(spot, first, practice, ledger, known)
    return None if field is None else _by_area(face.area, field, spot, ledger)


def _field_pace(
    spot: ResolvedFace, first: bool, practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return the pace on open floor; of a small pad without its own, that of the larger one less what it gains."""
    kind = spot.surface if first else "later"
    machine = spot.machine
    if kind in machine.pace:
        return ledger.take(known.record("rate", machine.pace[kind]).pace)
    larger = known.record("machine", practice.machines["field"])
    if machine.diameter is None or machine.diameter.si > SMALL or kind not in larger.pace:
        message = f"No pace over open floor is known for {machine.title}; its time is left out."
        ledger.find("no-pace", "warning", message, pointer="/parts", machine=machine.id)
        return None
    gain = ledger.take(practice.pad_gain)
    base = ledger.take(known.record("rate", larger.pace[kind]).pace)
    return ledger.step(pace.smaller_pad_pace, machine.id, larger=base, gain=gain)


def _by_area(area: float, rate: Number, spot: ResolvedFace, ledger: Ledger) -> Number:
    return ledger.step(pace.time_by_area, spot.id, area=area, pace=rate)
