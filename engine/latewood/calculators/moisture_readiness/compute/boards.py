"""The boards of a zone and the air over them, and the ways they may have started to dry."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from latewood.calculators.moisture_readiness.measured import Evidence
from latewood.calculators.moisture_readiness.resolved import Climate, Resolved, Zone
from latewood.formulas import diffusion, movement, sorption, surface
from latewood.formulas.drying import Boards
from latewood.formulas.drying_air import Air, Array
from latewood.provenance import Ledger
from latewood.records import DryingModel, Species
from latewood.uncertainty import spread
from latewood.weather import face_of
from latewood.weather.face import Slab


@dataclass(frozen=True, kw_only=True)
class Wood:
    """The boards of a zone, SI."""

    basic_density: float
    thickness: float
    filled: float
    film: float
    outer: float
    factors: tuple[float, float, float]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A way the zone may have started: wetted to a depth, or as moist as it was read."""

    depth: float
    core: float
    skin: float = 0.0
    skin_depth: float = 0.0
    factor: float = 1.0


def wetted_cases(wood: Wood, depth: float, core: float) -> list[Case]:
    """Return a wetting to a depth, from the fastest to the slowest diffusivity."""
    return [Case(depth=depth, core=core, factor=factor) for factor in reversed(wood.factors)]


def read_cases(wood: Wood, moisture: float, below: float, depth: float, *, skin: bool) -> list[Case]:
    """Return a board read at a moisture content, from the fastest to the slowest it may dry.

    A reading does not tell how deep the wood is so wet. After a wetting (``skin``) it may be the outer layer, twice as
    far, or all of it; without one it is all of it, at best twice the outer layer. ``depth`` is how far rain would go in
    later.
    """
    slow, usual, fast = wood.factors
    if moisture <= below:
        return [Case(depth=depth, core=moisture, factor=factor) for factor in (fast, usual, slow)]
    whole = wood.thickness
    deep = min(2 * wood.outer, whole)
    reaches = (wood.outer, deep, whole) if skin else (deep, whole, whole)
    return [
        Case(depth=depth, core=below, skin=moisture, skin_depth=reach, factor=factor)
        for reach, factor in zip(reaches, (fast, usual, slow), strict=True)
    ]


def boards_of(cases: list[Case], wood: Wood) -> Boards:
    """Return one board a case, side by side."""

    def column(name: str) -> Array:
        return np.asarray([getattr(case, name) for case in cases], dtype=np.float64)

    same = np.ones(len(cases))
    return Boards(
        basic_density=same * wood.basic_density,
        thickness=same * wood.thickness,
        cap=same * wood.filled,
        film=same * wood.film,
        start=column("core"),
        **{name: column(name) for name in ("depth", "skin", "skin_depth", "factor")},
    )


def depths_of(zone: Zone, shared: Resolved, ledger: Ledger, *, weathered: bool) -> tuple[float, float, float]:
    """Return how far water goes into sound wood, into weathered wood, and how far it is taken to have gone here."""
    kind = next((water.kind for water in reversed(zone.waters) if water.kind.depths), shared.rained)
    sound, checked = (ledger.value(kind.depths[state]) for state in ("sound", "weathered"))
    usual = checked if weathered else sound
    return sound, checked, usual if zone.wetted_depth is None else zone.wetted_depth


def beyond_model(model: DryingModel, seen: Evidence, temperature: float) -> Literal["cold", "very-wet"] | None:
    """Return where the model of drying is less sure than else: in the cold, and in very wet wood."""
    if temperature < model.coldest.si:
        return "cold"
    return "very-wet" if seen.highest is not None and seen.highest > model.wettest.si else None


def wood_of(zone: Zone, species: Species, seen: Evidence, temperature: float, shared: Resolved, ledger: Ledger) -> Wood:
    """Return the boards of a zone."""
    model, basic = shared.model, species.basic_density
    density = (
        ledger.value(basic)
        if basic is not None
        else spread.value(ledger.step(movement.basic_density_from, density=ledger.take(species.density)))
    )
    thickness = thickness_of(zone, shared, ledger)
    filled = {key: ledger.value(number) for key, number in model.filled.items()}
    keys = sorted(filled, key=int)
    level = float(np.interp(density, [float(key) for key in keys], [filled[key] for key in keys]))
    most = spread.value(ledger.step(sorption.greatest_moisture, basic_density=density))
    factor, wider = ledger.take(model.diffusivity_factor), 1.0
    beyond = beyond_model(model, seen, temperature)
    if beyond is not None:
        ledger.take(model.coldest if beyond == "cold" else model.wettest)
        wider = ledger.value(model.widening)
    outer = shared.outer_depth if shared.outer_depth is not None else ledger.value(model.outer_depth)
    return Wood(
        basic_density=density,
        thickness=thickness,
        filled=min(level, most),
        film=ledger.value(model.film),
        outer=min(outer, thickness),
        factors=(spread.low(factor) / wider, spread.value(factor), spread.high(factor) * wider),
    )


def thickness_of(zone: Zone, shared: Resolved, ledger: Ledger) -> float:
    """Return the thickness of the boards, the usual one where it is not given."""
    return zone.thickness if zone.thickness is not None else ledger.value(shared.model.thickness)


def air_of(zone: Zone, species: Species, climate: Climate, shared: Resolved, ledger: Ledger, *, weathered: bool) -> Air:
    """Return the air over and under the boards, the same one for all zones that lie alike."""
    water = np.zeros(len(climate.temperature))
    for event in zone.waters:
        place = int(np.ceil((event.at - climate.first) / climate.step - 1e-9))
        water[min(max(place, 0), len(water) - 1)] += event.amount
    slab = Slab(
        thickness=thickness_of(zone, shared, ledger),
        density=ledger.value(species.density),
        moisture=ledger.value(shared.heat.moisture),
    )
    key = (zone.exposure, weathered, slab, water.tobytes())
    if key not in shared.airs:
        shared.airs[key] = _air(zone, slab, climate, shared, water, ledger, weathered=weathered)
    return shared.airs[key]


def _air(
    zone: Zone, slab: Slab, climate: Climate, shared: Resolved, water: Array, ledger: Ledger, *, weathered: bool
) -> Air:
    model, wind, given = shared.model, climate.wind, climate.given
    usual = ledger.value(model.heat_transfer)
    if wind is not None and zone.exposure == "roofed":
        wind = wind * ledger.value(model.roofed_wind)
    heat = np.full(len(climate.temperature), usual) if wind is None else surface.convection(wind_speed=wind)
    exchange = diffusion.vapour_exchange(heat, shared.pressure)
    under = np.zeros_like(exchange) if zone.exposure == "low-clearance" else exchange
    warm = climate.temperature
    if climate.hours is not None:
        colour = shared.colours[weathered]
        face = face_of(
            climate.hours,
            shared.place,
            ledger,
            absorptance=colour.absorptance,
            emissivity=colour.emissivity,
            exposure=zone.exposure,
            slab=slab,
        )
        over = np.nan_to_num(face.temperature - climate.temperature[:given])
        warm = np.concatenate((climate.temperature[:given] + over, climate.temperature[given:]))
    rain = climate.rain if zone.exposure != "roofed" else np.zeros_like(climate.rain)
    columns = (climate.temperature, climate.humidity, warm, exchange, under, np.maximum(rain, water))
    return Air(climate.step, *(np.asarray(column)[:, None] for column in columns), pressure=shared.pressure)
