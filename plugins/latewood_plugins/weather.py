"""How the bundled coating families answer the weather: gates, cure clocks, dwell."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np

from latewood.plugin import Floats, Model, clockwork, cure

#: Activation energies of the slow and the fast clock, J/mol. The first is the trade's rule that time halves at 30 °C
#: and doubles at 10 °C, both against 20 °C; the second was measured on linolenic acid without a drier, 66 ± 4 kJ/mol
#: (J. Agric. Food Chem. 53 (2005) 9073). Below 23 °C the second is the slower, above the first.
ENERGIES: Final = (50e3, 66e3)
#: Above this the surface skins over and keeps oxygen from what lies below: through-cure gets no faster (K).
#: Ind. Crops Prod. 21 (2005) 263 finds the skin; the temperature is an assumption.
SKIN: Final = 308.15


def oxidative(
    *, surface_temperature: Floats, air_temperature: Floats, relative_humidity: Floats, coldest: float
) -> tuple[Floats, Floats]:
    """Return the rates of an oil or alkyd that cures with oxygen, by two activation energies."""
    one, other = (cure.oxidative_rate(temperature=surface_temperature, activation_energy=energy) for energy in ENERGIES)
    skinned = cure.oxidative_rate(temperature=SKIN, activation_energy=ENERGIES[0])
    cold = surface_temperature < coldest
    slow, fast = np.minimum(np.minimum(one, other), skinned), np.maximum(one, other)
    return np.where(cold, 0.0, slow), np.where(cold, 0.0, fast)


def evaporative(
    *, surface_temperature: Floats, air_temperature: Floats, relative_humidity: Floats, coldest: float
) -> tuple[Floats, Floats]:
    """Return the rates of a waterborne film: water must leave, and the film must run together above its limit."""
    deficit = cure.vapour_deficit(
        surface_temperature=surface_temperature, air_temperature=air_temperature, relative_humidity=relative_humidity
    )
    leaves = cure.evaporative_rate(deficit=deficit)
    joins = cure.oxidative_rate(temperature=surface_temperature, activation_energy=ENERGIES[0])
    cold = surface_temperature < coldest
    slow, fast = np.minimum(leaves, joins), np.maximum(leaves, joins)
    return np.where(cold, 0.0, slow), np.where(cold, 0.0, fast)


def slowest(
    *, surface_temperature: Floats, air_temperature: Floats, relative_humidity: Floats, coldest: float
) -> tuple[Floats, Floats]:
    """Return the rates of a product nobody knows: whatever is slower of oil and water, whatever is faster."""
    (oil, oil_fast), (water, water_fast) = (
        clock(
            surface_temperature=surface_temperature,
            air_temperature=air_temperature,
            relative_humidity=relative_humidity,
            coldest=coldest,
        )
        for clock in (oxidative, evaporative)
    )
    return np.minimum(oil, water), np.maximum(oil_fast, water_fast)


def within_limits(
    *,
    air_temperature: Floats,
    surface_temperature: Floats,
    relative_humidity: Floats,
    dew_point_spread: Floats,
    rain: Floats,
    wind_speed: Floats,
    step: float,
    limits: Mapping[str, float],
) -> Mapping[str, Floats]:
    """Hold each step against the limits: cold, hot, humid, dew, wind, rain, and those that look ahead or back."""
    dry = -np.asarray(rain, float)
    found: dict[str, Floats] = {"rain": dry}
    if "coldest" in limits:
        found["cold"] = np.minimum(air_temperature, surface_temperature) - limits["coldest"]
    if "hottest" in limits:
        found["hot"] = limits["hottest"] - surface_temperature
    if "humidity" in limits:
        found["humid"] = limits["humidity"] - relative_humidity
    if "spread" in limits:
        found["dew"] = dew_point_spread - limits["spread"]
    if "wind" in limits:
        found["wind"] = limits["wind"] - wind_speed
    if "dry_before" in limits:
        found["wet-before"] = clockwork.behind(dry, _steps(limits["dry_before"], step))
    if "hold" in limits and "hold_coldest" in limits:
        ahead = clockwork.ahead(np.asarray(air_temperature, float), _steps(limits["hold"], step))
        found["cold-later"] = ahead - limits["hold_coldest"]
    if "cool_for" in limits and "hottest" in limits:
        ahead = clockwork.ahead(-np.asarray(surface_temperature, float), _steps(limits["cool_for"], step))
        found["hot-later"] = limits["hottest"] + ahead
    return found


def rain_or_shine(
    *,
    air_temperature: Floats,
    surface_temperature: Floats,
    relative_humidity: Floats,
    dew_point_spread: Floats,
    rain: Floats,
    wind_speed: Floats,
    step: float,
    limits: Mapping[str, float],
) -> Mapping[str, Floats]:
    """Hold each step against the limits, rain apart: for work that is wet anyway."""
    found = within_limits(
        air_temperature=air_temperature,
        surface_temperature=surface_temperature,
        relative_humidity=relative_humidity,
        dew_point_spread=dew_point_spread,
        rain=rain,
        wind_speed=wind_speed,
        step=step,
        limits=limits,
    )
    return {gate: margin for gate, margin in found.items() if gate not in ("rain", "wet-before")}


def _steps(time: float, step: float) -> int:
    return max(int(np.ceil(time / step - 1e-9)), 1)


def wiped(*, earliest: Floats, latest: Floats, longest: float, slow: Floats, fast: Floats) -> tuple[Floats, Floats]:
    """Return when an oil is wiped, by the fast clock: late wiping costs a strip, early wiping a little colour."""
    rate = np.maximum(fast, 1e-6)
    done = np.minimum(latest / rate, longest)
    return np.minimum(np.minimum(earliest / rate, earliest), done), done


MODELS = [
    Model(
        "cure-clock",
        "oxidative",
        oxidative,
        source="oil-autoxidation-dsc",
        title="Oils and alkyds: two activation energies, slow and fast",
    ),
    Model(
        "cure-clock",
        "evaporative",
        evaporative,
        source="waterborne-drying-page",
        title="Waterborne films: the slower of drying and running together",
    ),
    Model("cure-clock", "slowest", slowest, source="", title="An unknown product: the slower of oil and water"),
    Model("gates", "limits", within_limits, source="", title="Each limit of the family's table is a gate"),
    Model("gates", "limits-rain-or-shine", rain_or_shine, source="", title="Each limit is a gate, and rain is none"),
    Model("dwell", "wiped", wiped, source="common-practice", title="Wiping by the fast clock"),
]
