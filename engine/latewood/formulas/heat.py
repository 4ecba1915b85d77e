"""How hot the air feels to people at work: the heat index of the United States' weather service."""

from __future__ import annotations

from typing import Annotated

import numpy as np
from numpy.typing import NDArray

from latewood.declare import Symbol, formula

Floats = float | NDArray[np.float64]


@formula(
    symbols="HI(T, R), below 80 °F the mean of T and a line, above it a polynomial with two corrections",
    source="US National Weather Service, heat index equation",
    where="wpc.ncep.noaa.gov/html/heatindex_equation.shtml",
    holds="shade and light wind; full sun adds up to 15 °F (8 K)",
)
def heat_index(
    temperature: Annotated[Floats, Symbol("T", "degC")], relative_humidity: Annotated[Floats, Symbol("R", "%")]
) -> Annotated[Floats, Symbol("HI", "degC")]:
    """Find the temperature of moderately damp air that would be as hard to bear."""
    t = np.asarray(temperature, float) * 1.8 - 459.67
    r = np.asarray(relative_humidity, float) * 100.0
    plain = 0.5 * (t + 0.5 * (t + 61.0 + (t - 68.0) * 1.2 + r * 0.094))
    full = (
        -42.379
        + 2.04901523 * t
        + 10.14333127 * r
        - 0.22475541 * t * r
        - 6.83783e-3 * t**2
        - 5.481717e-2 * r**2
        + 1.22874e-3 * t**2 * r
        + 8.5282e-4 * t * r**2
        - 1.99e-6 * t**2 * r**2
    )
    dry = (13.0 - r) / 4.0 * np.sqrt(np.clip(17.0 - np.abs(t - 95.0), 0.0, None) / 17.0)
    damp = (r - 85.0) / 10.0 * (87.0 - t) / 5.0
    full = full - np.where((r < 13.0) & (t >= 80.0) & (t <= 112.0), dry, 0.0)
    full = full + np.where((r > 85.0) & (t >= 80.0) & (t <= 87.0), damp, 0.0)
    found: Floats = (np.where(plain >= 80.0, full, plain) + 459.67) / 1.8
    return float(found) if np.ndim(found) == 0 else found
