"""Waste of planned work: kind, mass and container of each, and where it ends."""

from __future__ import annotations

import math
from typing import Annotated, Final, Literal

import msgspec

from latewood.declare import F, Q, RecordLookup
from latewood.formulas import waste as formulas
from latewood.messages import Clause
from latewood.provenance import Ledger
from latewood.records import Waste
from latewood.rules.hazards import Suspicion
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: The caution that says whether waste of a binder heats itself.
SELF_HEATING: Final = "self-heating-waste"


class WasteRow(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of waste."""

    id: Annotated[str, F("Kind of waste: id of its record")]
    title: Annotated[Clause, F("Kind of waste in words")]
    waste_mass: Annotated[Number, Q("kg", "Mass of it, in a container or not")]
    waste_volume: Annotated[Number, Q("L", "Room it takes")]
    container: Annotated[Clause, F("What it is kept in until it is taken away, or that it is not caught")]
    container_count: (
        Annotated[int, F("Containers that suffice nine times in ten; left out where it is not caught")] | None
    ) = None
    hazardous: Annotated[Suspicion, F("Whether it may hold lead or arsenic")]
    ending: Annotated[tuple[Clause, ...], F("Where it ends, each action by itself")]


Left = Annotated[tuple[WasteRow, ...], F("What is left over, and where it ends")]


def by_pieces(id: str, count: float, ledger: Ledger, known: RecordLookup, *, oil: bool = False) -> WasteRow:
    """Return waste that is counted."""
    record = _kind(id, known, hazardous="no", oil=oil)
    mass = ledger.step(
        formulas.mass_of_pieces, record.id, count=count, piece_mass=_number("piece_mass", record, ledger)
    )
    return _row(record, mass, None, "no", ledger)


def by_area(id: str, area: Number, ledger: Ledger, known: RecordLookup, *, hazardous: Suspicion) -> WasteRow:
    """Return waste that goes by its area."""
    record = _kind(id, known, hazardous=hazardous)
    mass = ledger.step(formulas.mass_of_area, record.id, area=area, area_mass=_number("area_mass", record, ledger))
    return _row(record, mass, None, hazardous, ledger)


def by_mass(
    id: str, mass: Number, ledger: Ledger, known: RecordLookup, *, hazardous: Suspicion, oil: bool = False
) -> WasteRow:
    """Return waste whose mass is known."""
    return _row(_kind(id, known, hazardous=hazardous, oil=oil), mass, None, hazardous, ledger)


def by_volume(id: str, volume: Number, ledger: Ledger, known: RecordLookup, *, hazardous: Suspicion) -> WasteRow:
    """Return waste whose volume is known."""
    record = _kind(id, known, hazardous=hazardous)
    mass = ledger.step(formulas.mass_of_volume, record.id, volume=volume, density=ledger.take(record.density))
    return _row(record, mass, volume, hazardous, ledger)


def heats_itself(binder: str, known: RecordLookup) -> bool:
    """Say whether waste with a binder in it can set itself on fire, as the caution has it."""
    caution = known.records("caution").get(SELF_HEATING)
    return caution is not None and bool(caution.holds({"binder": binder}))


def _kind(id: str, known: RecordLookup, *, hazardous: Suspicion, oil: bool = False) -> Waste:
    """Return the record, or the one that stands in for it where it is hazardous, or holds oil."""
    record: Waste = known.record("waste", id)
    if oil and record.with_oil is not None:
        record = known.record("waste", record.with_oil)
    if hazardous != "no" and record.with_hazard is not None:
        record = known.record("waste", record.with_hazard)
    return record


def _number(name: Literal["piece_mass", "area_mass"], record: Waste, ledger: Ledger) -> Number:
    number = getattr(record, name)
    if number is None:
        raise ValueError(f"{record.path} has no {name}")
    return ledger.take(number)


def _row(record: Waste, mass: Number, volume: Number | None, hazardous: Suspicion, ledger: Ledger) -> WasteRow:
    if volume is None:
        volume = ledger.step(formulas.volume_of_mass, record.id, mass=mass, density=ledger.take(record.density))
    count = None
    if record.container_size is not None:
        room = spread.central(ledger.take(record.container_size))
        count = math.ceil(spread.high(volume) / room - 1e-9)
    return WasteRow(
        id=record.id,
        title=record.recorded(record.title, "title"),
        waste_mass=mass,
        waste_volume=volume,
        container=record.recorded(record.container, "container"),
        container_count=count,
        hazardous=hazardous,
        ending=tuple(record.recorded(one, "ending", str(place)) for place, one in enumerate(record.ending)),
    )
