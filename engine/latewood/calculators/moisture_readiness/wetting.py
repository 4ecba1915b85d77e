"""What wets a zone, and when."""

from __future__ import annotations

from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.climate import HOUR
from latewood.calculators.moisture_readiness.fields import ReadinessZone
from latewood.calculators.moisture_readiness.setting import PLENTY, Setting, Water
from latewood.uncertainty import spread


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
