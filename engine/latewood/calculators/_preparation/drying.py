"""How long wet wood waits: the one place where preparation asks the drying model."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from latewood import spread
from latewood.declare import Known
from latewood.formulas import diffusion, sorption
from latewood.formulas.drying_closed import Wetted
from latewood.provenance import Ledger
from latewood.records.moisture import DryingModel
from latewood.spread import Number

if TYPE_CHECKING:
    from latewood.calculators.preparation import Inputs

#: Basic density of a wood nobody named (kg/m3): between common softwoods and hardwoods, which dry the slowest.
UNNAMED: Final = 550.0
_MODEL: Final = "transverse-diffusion"

Times = tuple[float, float, float]


@dataclass(frozen=True)
class Climate:
    """The mean climate the wood dries in (K, share)."""

    temperature: float
    relative_humidity: float

    @property
    def settled(self) -> float:
        """The moisture content wood settles at in it."""
        return float(
            sorption.equilibrium_moisture(temperature=self.temperature, relative_humidity=self.relative_humidity)
        )


@dataclass(frozen=True)
class Drying:
    """Times (s) from the last wetting until the outer wood is at or below a limit, at P10, P50 and P90."""

    to_sand: Times
    to_coat: Times

    @property
    def wait(self) -> Number | None:
        """The wait until the wood may be coated; None where this climate never gets it there."""
        if not all(map(math.isfinite, self.to_coat)):
            return None
        low, middle, high = self.to_coat
        return middle if high - low < 1.0 else spread.lognormal("input/drying", low, middle, high)


def drying(
    x: Inputs, climate: Climate, depth: float, limits: tuple[float, float], ledger: Ledger, known: Known
) -> Drying:
    """Return how long boards wetted to a depth take in this climate to the limits for sanding and for coating."""
    to_sand, to_coat = (_times(x, climate, depth, limit, ledger, known) for limit in limits)
    return Drying(to_sand, to_coat)


def _times(x: Inputs, climate: Climate, depth: float, limit: float, ledger: Ledger, known: Known) -> Times:
    model: DryingModel = known.record("drying-model", _MODEL)
    gravity = _basic_density(x, ledger)
    thickness = x.thickness if x.thickness is not None else spread.value(ledger.take(model.thickness))
    exchange = float(diffusion.vapour_exchange(spread.value(ledger.take(model.heat_transfer))))
    outer, film = spread.value(ledger.take(model.outer_depth)), spread.value(ledger.take(model.film))
    factor = ledger.take(model.diffusivity_factor)
    times = [
        Wetted(
            basic_density=gravity,
            thickness=thickness,
            core=climate.settled,
            cap=min(_filled(model, gravity, ledger), float(sorption.greatest_moisture(basic_density=gravity))),
            depth=min(depth, thickness),
            film=film,
            temperature=climate.temperature,
            relative_humidity=climate.relative_humidity,
            exchange=exchange,
            exchange_under=exchange,
            factor=quick,
        ).time_until(limit, outer)
        for quick in (spread.high(factor), spread.value(factor), spread.low(factor))
    ]
    # Faster diffusion may pass the water on inwards: the times are put in order.
    low, middle, high = sorted(float(time) for time in times)
    return low, middle, high


def _filled(model: DryingModel, gravity: float, ledger: Ledger) -> float:
    """Return what wetting fills wood of a basic density to, on straight lines between the tabulated ones."""
    by_density = sorted((float(name), spread.value(ledger.take(number))) for name, number in model.filled.items())
    densities, shares = zip(*by_density, strict=True)
    return float(np.interp(gravity, densities, shares))


def _basic_density(x: Inputs, ledger: Ledger) -> float:
    if x.species is None:
        return UNNAMED
    if x.species.basic_density is not None:
        return spread.central(ledger.take(x.species.basic_density))
    # Wood Handbook eq. 4-13 and 4-14, solved for the basic specific gravity from the density at 12 %.
    dry = spread.central(ledger.take(x.species.density)) / 1120
    return 1000 * dry / (1 + 0.159 * dry)
