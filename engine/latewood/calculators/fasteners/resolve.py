"""Which practice holds, which share of the heads stands proud, and what each zone asks for."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.calculators.fasteners.inputs import FastenerZone, Inputs
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import FastenerPractice, Machine, Species
from latewood.rules.faces import WHOLE
from latewood.rules.heads import Practice, Shares, practice_of, share_proud, shares_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Zone:
    """Heads of one zone, the shares to set and to replace, and whether its wood is bored."""

    id: str
    fasteners: int
    shares: Shares
    bored: bool


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """The zones and the practice they go by. Lengths in m."""

    zones: list[Zone]
    practice: Practice
    share_proud: Number
    #: Whether the boards are held by clips, which have no heads.
    hidden: bool
    settable: bool
    removal: Number | None
    cover: float | None
    machine: Machine | None

    @property
    def set_below(self) -> float | None:
        """How deep the machine wants heads."""
        return None if self.machine is None or self.machine.set_below is None else self.machine.set_below.si


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return the zones with the shares of heads that are set where those not proud stay."""
    practice, hidden = practice_of(x, ledger, known), x.fastener == "hidden-clip"
    zones = x.zones or (FastenerZone(id=WHOLE, fasteners=x.fasteners or 0),)
    heads = sum(zone.fasteners for zone in zones)
    share: Number = 0.0 if hidden else share_proud(x, heads, practice.record, ledger)
    found = []
    for zone in zones:
        shares = shares_of(x, (*x.signs, *zone.signs), share, practice.record, ledger)
        found.append(Zone(zone.id, zone.fasteners, shares, _bored(zone.species or x.species, practice.record, ledger)))
    return Resolved(
        zones=found,
        practice=practice,
        share_proud=share,
        hidden=hidden,
        settable=x.heads_can_be_set is not False,
        removal=x.removal,
        cover=x.fastener_cover,
        machine=x.machine,
    )


def _bored(species: Species | None, practice: FastenerPractice, ledger: Ledger) -> bool:
    if species is None or species.group != "hardwood":
        return False
    return ledger.value(species.density) >= spread.central(ledger.take(practice.bored_from))
