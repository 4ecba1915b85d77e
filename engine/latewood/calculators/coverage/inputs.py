"""What coverage is asked."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

import msgspec

from latewood.calculators.coverage.fields import Container, Face, Product
from latewood.declare import F, Q
from latewood.records import Application, Coating, Species, VocLimits
from latewood.records.coating import Surface
from latewood.rules.hazards import JURISDICTION
from latewood.rules.old_and_new_finish import StillOn
from latewood.uncertainty.spread import Number


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be coated, with what, and how it is bought."""

    area: Annotated[float, Q("m2", "Area to coat, one face of floor", ge=0, le=1e5, example="400 ft2")] | None = None
    faces: Annotated[tuple[Face, ...], F("The faces to coat, instead of one area")] = ()
    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    surface: Annotated[Surface, F("Surface of the wood when it is coated; sanded if left out")] | None = None
    old_coating: StillOn | None = None
    uptake: (
        Annotated[
            Number,
            Q(
                "%",
                "Finish that sanded faces take up beside wood the rate holds for, after the last grade; 100 % if left "
                "out",
                ge=10,
                le=400,
                example="92 %",
                uncertain=True,
            ),
        ]
        | None
    ) = None
    coats: (
        Annotated[int, F("Number of coats; the product's, else the family's, if left out", ge=1, le=10, example=2)]
        | None
    ) = None
    application: Annotated[Application, F("Way of putting it on", example="brush")] | None = None
    loss: (
        Annotated[Number, Q("%", "Loss that never reaches the wood", ge=0, le=90, example="10-15 %", uncertain=True)]
        | None
    ) = None
    loss_convention: (
        Annotated[
            Literal["of-applied", "on-top"],
            F("Whether the loss is a share of what is drawn, V/(1 − L), or comes on top of what is laid on, V·(1 + L)"),
        ]
        | None
    ) = None
    product: Annotated[Product, F("What the product's data sheet says; it overrides the family")] | None = None
    confidence: Annotated[float, Q("%", "Chance that the purchase suffices", ge=50, le=99.9, example="90 %")] | None = (
        None
    )
    containers: Annotated[tuple[Container, ...], F("Sizes on sale, if not those of the region", max_items=30)] = ()
    residue: Annotated[float, Q("L", "What stays in each container", ge=0, le=10, example="50 mL")] | None = None
    on_hand: Annotated[float, Q("L", "Usable coating already there", ge=0, le=1e4, example="1 L")] | None = None
    jurisdiction: (
        Annotated[
            str,
            F(
                "ISO 3166 code of the place, for sizes and VOC limits",
                pattern=JURISDICTION,
                names="region",
                example="US-NY",
            ),
        ]
        | None
    ) = None
    voc_rules: (
        Annotated[VocLimits, F("Rule to hold the product against beside the jurisdiction's, such as a district's")]
        | None
    ) = None
    as_of: Annotated[date, F("Day whose VOC limits are taken; the newest if left out")] | None = None
