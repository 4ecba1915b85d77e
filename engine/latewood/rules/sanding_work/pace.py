"""How long one pass over a face takes."""

from __future__ import annotations

from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.records.sanding import PIECES
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.uncertainty.spread import Number

#: A round pad up to this size is held to be of the smaller kind, whose pace follows from that of the larger (m).
SMALL = 0.1375


def pace_of(face: SandedFace, *, first: bool, method: Method, ledger: Ledger) -> Number | None:
    """Return the time of one grade over the whole face (s); None where amount or pace is not known."""
    if face.part == "perimeter":
        if face.length is None:
            return None
        rate = method.task("perimeter", ledger)
        return ledger.step(pace.time_by_length, face.id, length=face.length, pace=rate)
    if face.part == "stair":
        if face.count is None:
            return None
        steps = method.task("stair", ledger)
        return ledger.step(pace.time_by_count, face.id, count=float(face.count), pace=steps)
    if face.area <= 0:
        return None
    if face.part in PIECES:
        return _by_area(face.area, method.task(face.part, ledger), face, ledger)
    field = _field_pace(face, first, method, ledger)
    return None if field is None else _by_area(face.area, field, face, ledger)


def scuffed_in(face: SandedFace, method: Method, ledger: Ledger) -> Number | None:
    """Return the time of a scuff over a face whose kind has a pace of its own for it (s); None where it has none."""
    rate = method.practice.scuff_rates.get(face.part)
    if rate is None or face.condition != "faded-oil" or face.area <= 0:
        return None
    return _by_area(face.area, method.pace(rate, ledger), face, ledger)


def _field_pace(face: SandedFace, first: bool, method: Method, ledger: Ledger) -> Number | None:
    """Return the pace on open floor; of a small pad without its own, that of the larger one less what it gains."""
    kind = face.surface if first else "later"
    machine = face.machine
    if kind in machine.pace:
        return method.pace(machine.pace[kind], ledger)
    larger = method.machines["field"]
    if machine.diameter is None or machine.diameter.si > SMALL or kind not in larger.pace:
        return None
    gain = ledger.take(method.practice.pad_gain)
    base = method.pace(larger.pace[kind], ledger)
    return ledger.step(pace.smaller_pad_pace, machine.id, larger=base, gain=gain)


def _by_area(area: float, rate: Number, face: SandedFace, ledger: Ledger) -> Number:
    return ledger.step(pace.time_by_area, face.id, area=area, pace=rate)
