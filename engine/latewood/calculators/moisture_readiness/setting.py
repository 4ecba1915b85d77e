"""What all zones share, and what wetted each of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from latewood.calculators.moisture_readiness import evidence as ev
from latewood.calculators.moisture_readiness.climate import Climate
from latewood.calculators.moisture_readiness.clock import Clock
from latewood.calculators.moisture_readiness.fields import ReadinessZone
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas.drying_air import Air
from latewood.provenance import Ledger
from latewood.records import DryingModel, MoistureLimits, WettingKind

#: More water than boards can hold: a wash brings as much as goes in.
PLENTY: Final = 1000.0


@dataclass(frozen=True)
class Water:
    """What wetted a zone: time it ended (s from now), its kind, water (kg/m2)."""

    at: float
    kind: WettingKind
    amount: float


@dataclass(frozen=True)
class Setting:
    """What all zones share."""

    x: Inputs
    clock: Clock
    climate: Climate | None
    model: DryingModel
    limits: MoistureLimits
    ledger: Ledger
    known: RecordLookup
    practice: ev.Practice
    airs: dict[tuple[str, bool, bytes], Air] = field(default_factory=dict)

    def pointer(self, zone: ReadinessZone) -> str:
        """Return where a zone stands among the inputs, so that what is said of one does not hide another's."""
        return f"/zones/{[one.id for one in self.x.zones].index(zone.id)}"
