"""Parts of wash's inputs and of its answer."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q, Share
from latewood.records import WashAgent
from latewood.records.moisture import WettingKind
from latewood.records.wash import Chemistry, Role
from latewood.uncertainty.spread import Number

#: What a percentage may mean: the active substance by weight, available chlorine by weight, or available chlorine in
#: grams in 100 mL, which the trade calls trade percent.
PercentOf = Literal["weight", "available-chlorine", "trade"]
#: Bounds of what is ready to use and of a liquid as sold, in g/L.
WEAKEST, STRONGEST, WEAKEST_STOCK, STRONGEST_STOCK = 0.1, 400, 1, 1000

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
                ge=WEAKEST,
                le=STRONGEST,
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
                ge=WEAKEST_STOCK,
                le=STRONGEST_STOCK,
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


class WashStageResult(msgspec.Struct, frozen=True, kw_only=True):
    """One agent of the answer: what to mix and how long it acts."""

    id: Annotated[str, F("Number of the stage, from 1")]
    agent: Annotated[WashAgent, F("Wash agent")]
    role: Annotated[Role, F("What it is for")]
    chemistry: Annotated[Chemistry, F("What it is")]
    strength: Annotated[Number, Q("g/L", "Weight of active substance in a litre ready to use")]
    stock_strength: Annotated[float, Q("g/L", "Weight of active substance in a litre of the liquid as sold")] | None = (
        None
    )
    solution_volume: Annotated[Number, Q("L", "Volume of solution ready to use")]
    product_mass: Annotated[Number, Q("kg", "Weight of powder to weigh out")] | None = None
    stock_volume: Annotated[Number, Q("L", "Volume of the liquid as sold")] | None = None
    water_volume: Annotated[Number, Q("L", "Water to mix it with")]
    dwell: Annotated[Number, Q("min", "Time it acts, kept wet")]
    rinse_volume: Annotated[Number, Q("L", "Water to rinse it off")]
    why: Annotated[str, F("Why this agent, and why here")]


class Wetting(msgspec.Struct, frozen=True, kw_only=True):
    """What the wash does to the moisture of the wood, handed on to whoever reckons when it is dry again."""

    cause: Annotated[WettingKind, F("What wetted the wood")]
    wetted_depth: Annotated[float, Q("mm", "Depth the water goes in from the surface")]
    duration: Annotated[Number, Q("min", "Time the surface is kept wet by the agents")]


class Protection(msgspec.Struct, frozen=True, kw_only=True):
    """One thing to do for what stands near, or for the run-off."""

    id: Annotated[str, F("What it protects")]
    message: Annotated[str, F("What to do")]
