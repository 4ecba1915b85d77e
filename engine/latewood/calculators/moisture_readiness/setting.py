"""What all zones share, and what wetted each of them."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Final

from latewood.calculators.moisture_readiness import evidence as ev
from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.climate import HOUR, Climate
from latewood.calculators.moisture_readiness.clock import Clock
from latewood.calculators.moisture_readiness.fields import ReadinessZone
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas.drying_air import Air
from latewood.provenance import Ledger
from latewood.records import DryingModel, MoistureLimits, WettingKind
from latewood.uncertainty import spread

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


def waters_of(setting: Setting, zone: ReadinessZone) -> list[Water]:
    """Return what wetted a zone or will before it is coated, in the order of time."""
    start = setting.clock.start
    found = []
    for event, at in zip(setting.x.wettings, setting.clock.wetted, strict=True):
        if event.zone in (None, zone.id):
            if start is not None and at is not None and at > max(start, 0.0):
                findings.after_start(setting, zone, event.cause)
                continue
            little = event.cause.water
            amount = PLENTY if little is None else spread.value(setting.ledger.take(little))
            found.append(Water(0.0 if at is None else at, event.cause, amount))
    return sorted(found, key=lambda water: water.at)


def rain_of(setting: Setting, zone: ReadinessZone) -> list[float]:
    """Return the ends of hours of rain on a zone, up to the start, or for a day where none is planned."""
    climate = setting.climate
    exposure = zone.exposure or setting.x.exposure or "open"
    if climate is None or climate.steady or exposure == "roofed":
        return []
    until = setting.clock.start if setting.clock.start is not None else 24 * HOUR
    return climate.rained(climate.first, max(until, 0.0))
