"""What wash is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q, Share
from latewood.records import PressureRule, Route, Species, WashAgent
from latewood.records.wash import Near, Soil
from latewood.rules.days import AsOf
from latewood.rules.hazards import OldSurface
from latewood.rules.weathering import Weathered
from latewood.uncertainty.spread import Number

#: What a percentage may mean: the active substance by weight, available chlorine by weight, or available chlorine in
#: grams in 100 mL, which the trade calls trade percent.
PercentOf = Literal["weight", "available-chlorine", "trade"]
#: Bounds of what is ready to use and of a liquid as sold, in g/L.
STRENGTH, STOCK = (0.1, 400), (1, 1000)

Additive = Literal["hypochlorite", "acid", "ammonia", "detergent", "peroxide"]


class WashStage(msgspec.Struct, frozen=True, kw_only=True):
    """One agent, in the order of use."""

    agent: Annotated[WashAgent, F("Wash agent", example="percarbonate")]
    strength: (
        Annotated[
            Number | Share,
            Q(
                "g/L",
                "Active substance in a litre ready to use, or in percent by weight",
                ge=STRENGTH[0],
                le=STRENGTH[1],
                example="30 g/L",
                uncertain=True,
                or_share=True,
            ),
        ]
        | None
    ) = None
    active: (
        Annotated[float, Q("%", "Share of active substance in the powder as sold", ge=1, le=100, example="85 %")] | None
    ) = None
    stock_strength: (
        Annotated[
            float | Share,
            Q(
                "g/L",
                "Active substance in a litre of the liquid as sold, or in percent as on its label",
                ge=STOCK[0],
                le=STOCK[1],
                example="56 g/L",
                or_share=True,
            ),
        ]
        | None
    ) = None
    percent_of: Annotated[PercentOf, F("What its percentages mean (default: weight)")] | None = None
    dwell: (
        Annotated[Number, Q("min", "Time it acts, kept wet", ge=0.5, le=120, example="10-15 min", uncertain=True)]
        | None
    ) = None
    mixed_with: Annotated[tuple[Additive, ...], F("What else is in the same mix", max_items=5)] = ()
    rinsed: Annotated[bool, F("Whether it is rinsed off in full before the next; yes if left out")] | None = None


class Inputs(OldSurface, frozen=True, kw_only=True):
    """One surface to be washed, what is on it, and what stands near."""

    area: Annotated[float, Q("m2", "Area to wash", ge=0, le=1e5, example="320 ft2")]
    species: Annotated[Species, F("Wood species", example="western-redcedar")] | None = None
    soil: Annotated[tuple[Soil, ...], F("What is on the wood; grey and dirt if left out", max_items=8)] = ()
    weathered: Weathered | None = None
    as_of: AsOf | None = None
    route: (
        Annotated[Route, F("Route it belongs to; all that is on it is washed off if left out", example="sand")] | None
    ) = None
    stages: Annotated[
        tuple[WashStage, ...],
        F("Agents in the order of use; chosen by species and what is on it if left out", max_items=6),
    ] = ()
    pressure: (
        Annotated[float, Q("bar", "Pressure at the nozzle; a hose if left out", ge=0, le=350, example="500 psi")] | None
    ) = None
    pressure_rule: Annotated[PressureRule, F("Rule for the pressure", example="gentle")] | None = None
    near: Annotated[tuple[Near, ...], F("What stands near", max_items=7)] = ()
    sanded: Annotated[bool, F("Whether the final sanding is done; no if left out")] | None = None
    spot: Annotated[bool, F("Whether only spots are treated; no if left out")] | None = None
