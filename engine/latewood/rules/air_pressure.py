"""The pressure of the air at a site, by its height: it moves the wet bulb and what goes over into the air."""

from __future__ import annotations

from latewood.formulas import air
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def pressure_at(elevation: float | None, ledger: Ledger) -> float:
    """Return the pressure (Pa) at a height above sea level; at sea level where none was given, which is noted."""
    if elevation is None:
        ledger.default("elevation", "0 m", why=clause("no-height-given"))
        return air.SEA_LEVEL
    return spread.central(ledger.step(air.standard_pressure, elevation=elevation))
