"""How long one pass over a face takes."""

from __future__ import annotations

from latewood.calculators._abrasive_sequence.spots import Spot
from latewood.declare import Known
from latewood.formulas import pace
from latewood.provenance import Ledger, Sourced
from latewood.records import SandingPractice
from latewood.records.sanding import PIECES
from latewood.spread import Number

#: A round pad up to this size is held to be of the smaller kind, whose pace follows from that of the larger (m).
SMALL = 0.1375


def pace_of(spot: Spot, *, first: bool, practice: SandingPractice, ledger: Ledger, known: Known) -> Number | None:
    """Return the time of one pass of one grade over the whole face (s); None where amount or pace is not known."""
    face = spot.face
    if face.part == "perimeter":
        return None if face.length is None else _by_length(face.length, practice.edge_pace, spot, ledger)
    if face.part == "stair":
        if face.count is None:
            return None
        steps = ledger.take(practice.stair_pace)
        return ledger.step(pace.time_by_count, spot.id, count=float(face.count), pace=steps)
    if face.area <= 0:
        return None
    if face.part in PIECES:
        return _by_area(face.area, ledger.take(practice.piece_pace[face.part]), spot, ledger)
    rate = _field_pace(spot, first, practice, ledger, known)
    return None if rate is None else _by_area(face.area, rate, spot, ledger)


def _field_pace(spot: Spot, first: bool, practice: SandingPractice, ledger: Ledger, known: Known) -> Number | None:
    """Return the pace on open floor; of a small pad without its own, that of the larger one less what it gains."""
    kind = spot.surface if first else "later"
    machine = spot.machine
    if kind in machine.pace:
        return ledger.take(machine.pace[kind])
    larger = known.record("machine", practice.machines["field"])
    if machine.diameter is None or machine.diameter.si > SMALL or kind not in larger.pace:
        message = f"No pace over open floor is known for {machine.title}; its time is left out."
        ledger.find("no-pace", "warning", message, pointer="/parts", machine=machine.id)
        return None
    gain = ledger.take(practice.pad_gain)
    return ledger.step(pace.smaller_pad_pace, machine.id, larger=ledger.take(larger.pace[kind]), gain=gain)


def _by_area(area: float, rate: Number, spot: Spot, ledger: Ledger) -> Number:
    return ledger.step(pace.time_by_area, spot.id, area=area, pace=rate)


def _by_length(length: float, rate: Sourced, spot: Spot, ledger: Ledger) -> Number:
    return ledger.step(pace.time_by_length, spot.id, length=length, pace=ledger.take(rate))
