"""Parts of coverage's inputs and of its answer."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Packs, Q
from latewood.quantities.money import Money
from latewood.records import Species
from latewood.records.coating import Surface
from latewood.records.voc_limits import Carrier, Gloss
from latewood.rules.faces import ID, Part, Side
from latewood.rules.law import LookUp, Within
from latewood.rules.old_and_new_finish import StillOn
from latewood.uncertainty.spread import Number


class Face(msgspec.Struct, frozen=True, kw_only=True):
    """One face to be coated."""

    zone: Annotated[str, F("Zone the face belongs to", pattern=ID, example="north")]
    part: Annotated[Part, F("Part of the deck")]
    item: Annotated[str, F("Which of several alike, such as one of two stairs", pattern=ID)] | None = None
    area: Annotated[float, Q("m2", "Area of the face", ge=0, le=1e5, example="320 ft2")]
    species: Annotated[Species, F("Wood species, where it differs", example="ipe")] | None = None
    side: Annotated[Side, F("Which side, where it is treated apart from the rest of its part")] | None = None
    old_coating: StillOn | None = None
    surface: (
        Annotated[
            Surface,
            F("Surface when coated, where it differs; gap faces, lattice and undersides are weathered if left out"),
        ]
        | None
    ) = None
    uptake: (
        Annotated[
            Number,
            Q(
                "%",
                "Finish it takes up beside wood the rate holds for, after the last grade of sanding; 100 % if left out",
                ge=10,
                le=400,
                example="92 %",
                uncertain=True,
            ),
        ]
        | None
    ) = None


class Product(msgspec.Struct, frozen=True, kw_only=True):
    """What the product data sheet says; whatever is given here overrides the coating family."""

    spreading_rate: (
        Annotated[Number, Q("m2/L", "Spreading rate of one coat", ge=0.1, le=100, example="6-10 m2/L", uncertain=True)]
        | None
    ) = None
    rate_basis: (
        Annotated[
            Literal["applied", "retained"],
            F("Whether the spreading rate counts all that is laid on, or only what stays after wiping"),
        ]
        | None
    ) = None
    volume_solids: (
        Annotated[
            Number, Q("%", "Solids by volume of the unthinned product", ge=1, le=100, example="40 %", uncertain=True)
        ]
        | None
    ) = None
    dry_film_thickness: (
        Annotated[Number, Q("um", "Dry film thickness of one coat", ge=1, le=5000, example="50 um", uncertain=True)]
        | None
    ) = None
    thinning: Annotated[float, Q("%", "Thinner added, by volume of product", ge=0, le=100, example="10 %")] | None = (
        None
    )
    coats: Annotated[int, F("Number of coats", ge=1, le=10, example=2)] | None = None
    carrier: (
        Annotated[Carrier, F("Whether water or solvent thins it, on which VOC limits may depend", example="water")]
        | None
    ) = None
    gloss: (
        Annotated[
            Gloss,
            F(
                "Gloss of a paint: flat is under 15 at 85 degrees or under 5 at 60, high-gloss 70 or more at 60",
                example="nonflat",
            ),
        ]
        | None
    ) = None
    voc_content: (
        Annotated[float, Q("g/L", "VOC in a litre of product, ready to use", ge=0, le=1500, example="400 g/L")] | None
    ) = None
    water_content: (
        Annotated[float, Q("g/L", "Water in a litre of product", ge=0, le=1000, example="500 g/L")] | None
    ) = None
    water_density: (
        Annotated[
            float, Q("kg/m3", "Density at which the water's volume is counted", ge=950, le=1000, example="997 kg/m3")
        ]
        | None
    ) = None
    exempt_content: (
        Annotated[float, Q("g/L", "Exempt compounds in a litre of product", ge=0, le=1500, example="200 g/L")] | None
    ) = None
    exempt_density: (
        Annotated[float, Q("kg/m3", "Density of the exempt compounds", ge=500, le=3000, example="790 kg/m3")] | None
    ) = None
    solids_content: (
        Annotated[float, Q("g/L", "Mass of solids in a litre of product", ge=0, le=3000, example="300 g/L")] | None
    ) = None


class Container(msgspec.Struct, frozen=True, kw_only=True):
    """A size in which the product is sold."""

    size: Annotated[float, Q("L", "Nominal size", ge=0.01, le=1000, example="2.5 L")]
    fill: (
        Annotated[
            float, Q("L", "What is in it, where less: tint bases are filled short", ge=0.01, le=1000, example="3.5 L")
        ]
        | None
    ) = None
    price: Annotated[Money, F("Price of one", example="54.00 USD")] | None = None


class CoatVolume(msgspec.Struct, frozen=True, kw_only=True):
    """One coat of the answer."""

    id: Annotated[str, F("Number of the coat, from 1")]
    volume: Annotated[Number, Q("L", "Volume drawn for this coat")]
    spreading_rate: Annotated[Number, Q("m2/L", "Area coated by a volume laid on")]


class ZoneVolume(msgspec.Struct, frozen=True, kw_only=True):
    """One zone of the answer."""

    id: Annotated[str, F("Name of the zone")]
    area: Annotated[float, Q("m2", "Area of its faces together")]
    volume: Annotated[Number, Q("L", "Volume drawn for it, all coats")]


class PartVolume(msgspec.Struct, frozen=True, kw_only=True):
    """One part of the deck in the answer, over all zones."""

    id: Annotated[Part, F("Part of the deck")]
    area: Annotated[float, Q("m2", "Area of its faces together")]
    volume: Annotated[Number, Q("L", "Volume drawn for it, all coats")]


class ContainerCount(msgspec.Struct, frozen=True, kw_only=True):
    """How many of one size to buy."""

    size: Annotated[float, Q("L", "Nominal size")]
    fill: Annotated[float, Q("L", "What is in it")] | None = None
    count: Annotated[int, F("How many to buy")]
    price: Annotated[Money, F("Price of one")] | None = None
    cost: Annotated[Money, F("Price of all of this size")] | None = None


class Purchase(msgspec.Struct, frozen=True, kw_only=True):
    """What to buy, and how likely it is to do."""

    text: Annotated[Packs, F("The containers in one line")]
    confidence: Annotated[float, Q("%", "Chance the purchase was made for that it suffices")]
    volume: Annotated[float, Q("L", "Usable volume bought")]
    left_over: Annotated[Number, Q("L", "What is left when the job is done, with what was on hand")]
    shortage_risk: Annotated[float, Q("%", "Chance that the purchase and what is on hand do not suffice")]
    cost: Annotated[Money, F("Price of all containers; left out where no prices were given")] | None = None


class VocLimit(msgspec.Struct, frozen=True, kw_only=True):
    """One limit that applies to the product."""

    id: Annotated[str, F("The rule, with the carrier where its limits for both are shown")]
    voc_rule: Annotated[str, F("The rule: id of a voc-limits record")]
    category: Annotated[str, F("Category of the coating in that rule")]
    basis: Annotated[Literal["regulatory", "product"], F("Less water and exempt compounds, or per litre of product")]
    limit: Annotated[float, Q("g/L", "The limit")]
    content: Annotated[float, Q("g/L", "The product's content on the same basis; left out where not known")] | None = (
        None
    )
    carrier: Annotated[Carrier, F("What it holds for; left out where it holds for every carrier")] | None = None
    within: Annotated[Within, F("Whether the content keeps this limit; unknown while a stricter rule may hold")]
    look_up: LookUp = ()
    binds_application: (
        Annotated[bool, F("Whether the rule also binds the crew that applies the coating; left out where not known")]
        | None
    ) = None


class Voc(msgspec.Struct, frozen=True, kw_only=True):
    """Volatile organic compounds: content, mass given off, limits and whether all are kept."""

    content: Annotated[float, Q("g/L", "Content per litre of product")] | None = None
    regulatory_content: Annotated[float, Q("g/L", "Content less water and exempt compounds")] | None = None
    mass: Annotated[Number, Q("kg", "Mass given off by all that is drawn")] | None = None
    within: Annotated[Within, F("Whether the product keeps every limit that holds there")]
    look_up: LookUp = ()
    limits: Annotated[
        tuple[VocLimit, ...], F("Limits of the jurisdiction and of the rule asked for, the most local first")
    ] = ()
