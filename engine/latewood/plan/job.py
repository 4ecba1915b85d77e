"""The job: one tree that describes a deck and what is to be done to it."""

from __future__ import annotations

from datetime import date
from typing import Annotated, ClassVar, Literal

import msgspec

from latewood.calculators.area.fields import (
    Boards,
    EdgeWork,
    ExtraShape,
    FloorArea,
    FloorLevel,
    GuardShape,
    LabourRule,
    PadWidth,
    StairShape,
    StatedArea,
)
from latewood.calculators.condition.inputs import Structure
from latewood.calculators.moisture_readiness.inputs import DropTest, MoistureReading, WettingEvent
from latewood.declare import F, Q
from latewood.plan.choices import Choices
from latewood.plan.crew import Crew
from latewood.plan.readings import Moisture
from latewood.plan.site import Finish, Sanding, Surroundings
from latewood.quantities.instants import ZONE_PATTERN, zone_of
from latewood.quantities.money import minor_digits
from latewood.quantities.units import Outline
from latewood.records import Coating, Species
from latewood.records.base import Material, Treatment
from latewood.records.coating import Surface
from latewood.rules.hazard_fields import Frame, LeadTested, LeadTestedBy, LeadTestedOn, OldCoating, PreservativeProof
from latewood.rules.hazards import JURISDICTION, YearBuilt
from latewood.rules.heads import FastenerCover, Fastening
from latewood.rules.sanding_work.fields import SandPart, SandPatch, StockGrade
from latewood.rules.signs import Beading, ColourVariation, CupDepth, DamagedShare, Sign, UndersideMoisture
from latewood.rules.weathering import Weathered
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Elevation, Latitude, Longitude

ID = r"^[a-z][a-z0-9-]{0,39}$"

#: Tables of the job that later versions of this engine add.
LATER = frozenset({"power", "prices"})

GapTreatment = Literal["none", "clean-only", "ease-edges", "machine-profile", "hand"]
GapFaces = Literal["coated", "bare"]


class Site(msgspec.Struct, frozen=True, kw_only=True):
    """Where the deck is, which decides the light, the law and the money."""

    latitude: Latitude | None = None
    longitude: Longitude | None = None
    elevation: Elevation | None = None
    year_built: YearBuilt | None = None
    timezone: (
        Annotated[
            str,
            F(
                "IANA time zone",
                pattern=ZONE_PATTERN,
                example="America/New_York",
                check=zone_of,
            ),
        ]
        | None
    ) = None
    jurisdiction: (
        Annotated[str, F("ISO 3166 code of country or state", pattern=JURISDICTION, names="region", example="US-NY")]
        | None
    ) = None
    currency: Annotated[str, F("ISO 4217 code", pattern=r"^[A-Z]{3}$", example="USD", check=minor_digits)] | None = None


Title = Annotated[str, F("Name for people, in the language of the job", max_length=60, example="South deck")]

#: Fields a component shares with its zone; what it leaves out is as in the zone.
OwnSpecies = Annotated[Species, F("Wood species, where it differs from the zone's", example="ipe")] | None
OwnMaterial = Annotated[Material, F("What it is made of, where that differs from the zone's")] | None
OwnTreatment = Annotated[Treatment, F("Preservative in the wood, where it differs")] | None
OwnOld = OldCoating | None
OwnCoating = Annotated[Coating, F("Coating to be applied, where it differs", example="solid-colour-stain")] | None
OwnCoats = Annotated[int, F("Coats to be applied, where they differ", ge=1, le=5, example=1)] | None
OwnSurface = Annotated[Surface, F("Surface when it is coated, where it differs")] | None
OwnSigns = Annotated[tuple[Sign, ...], F("What is seen on it; those of the boards are not taken over", max_items=30)]
OwnStructure = Annotated[Structure, F("What whoever looked says of its fixing and stiffness; as under defaults")] | None
Underside = Annotated[Surface, F("Surface of the underside when it is coated; weathered if left out")] | None


class ZoneFields(msgspec.Struct, frozen=True, kw_only=True):
    """What is so in a zone; under ``defaults`` it holds for every zone that does not say otherwise."""

    species: Annotated[Species, F("Wood species", example="ipe")] | None = None
    material: Annotated[Material, F("What the boards are made of")] | None = None
    treatment: Annotated[Treatment, F("Preservative in the wood")] | None = None
    treatment_evidence: PreservativeProof | None = None
    frame: Frame | None = None
    exposure: Annotated[Exposure, F("Shelter of the zone")] | None = None
    old_coating: OldCoating | None = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    coating: Annotated[Coating, F("Coating to be applied", example="clear-penetrating-oil")] | None = None
    coats: Annotated[int, F("Coats to be applied", ge=1, le=5, example=1)] | None = None
    surface: Annotated[Surface, F("Surface when it is coated")] | None = None
    gap_treatment: (
        Annotated[
            GapTreatment,
            F("What is done to the faces of the gaps before they are coated; machine-profile and hand sand them"),
        ]
        | None
    ) = None
    gap_faces: Annotated[GapFaces, F("Whether the faces of the gaps are coated; they are if left out")] | None = None
    boards: Annotated[Boards, F("How the boards are laid")] | None = None
    signs: Annotated[tuple[Sign, ...], F("What is seen on the boards", max_items=30)] | None = None
    weathered: Weathered | None = None
    structure: (
        Annotated[
            Structure,
            F("What whoever looked says of what carries the floor; under defaults of stairs and guards too"),
        ]
        | None
    ) = None
    affected: DamagedShare | None = None
    beading: Annotated[Beading, F("Whether drops of water still bead on the old coat")] | None = None
    fastener_cover: FastenerCover | None = None
    underside_moisture: UndersideMoisture | None = None
    cup_depth: CupDepth | None = None
    surface_wet: Annotated[bool, F("Whether water is seen on the boards")] | None = None
    mixed_age: Annotated[bool, F("Whether boards of different age or wood lie side by side")] | None = None
    new_boards: Annotated[int, F("New boards among the old", ge=0, le=100000, example=4)] | None = None
    colour_variation: ColourVariation | None = None


class Zone(ZoneFields, frozen=True, kw_only=True):
    """A region of the deck with its own species, exposure and old coating.

    Proof of a preservative and a test that found no lead hold for its boards only; under ``defaults`` they hold for
    stairs, guards and extras too.
    """

    id: Annotated[str, F("Name of the zone", pattern=ID, max_length=40, example="main")]
    title: Title | None = None
    part_of: Annotated[str, F("Zone this one lies in", pattern=ID, max_length=40, example="main")] | None = None
    outline: Annotated[Outline, F("Corner points", example="0 0, 24 0, 24 16, 0 16 ft")] | None = None
    length: Annotated[float, Q("m", "Length along x", ge=0.01, le=1000, example="24 ft")] | None = None
    width: Annotated[float, Q("m", "Width along y", ge=0.01, le=1000, example="16 ft")] | None = None
    holes: Annotated[tuple[Outline, ...], F("Openings in the zone", max_items=50, example="2 2, 5 2, 5 4, 2 4 ft")] = ()
    area: FloorArea | None = None
    level: FloorLevel | None = None
    edges: Annotated[EdgeWork, F("Where the floor meets walls, rails, posts and whatever is fixed on it")] | None = None


class Stair(StairShape, frozen=True, kw_only=True):
    """A straight flight of stairs, and how it differs from its zone."""

    title: Title | None = None
    species: OwnSpecies = None
    material: OwnMaterial = None
    treatment: OwnTreatment = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: OwnOld = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    coating: OwnCoating = None
    coats: OwnCoats = None
    surface: OwnSurface = None
    signs: OwnSigns = ()
    structure: OwnStructure = None
    underside_surface: Underside = None


class Guard(GuardShape, frozen=True, kw_only=True):
    """A straight guard, and how it differs from its zone."""

    title: Title | None = None
    species: OwnSpecies = None
    material: OwnMaterial = None
    treatment: OwnTreatment = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: OwnOld = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    coating: OwnCoating = None
    coats: OwnCoats = None
    surface: OwnSurface = None
    signs: OwnSigns = ()
    structure: OwnStructure = None


class Extra(ExtraShape, frozen=True, kw_only=True):
    """Fascia, skirting, lattice, a bench or posts, and how they differ from their zone."""

    title: Title | None = None
    species: OwnSpecies = None
    material: OwnMaterial = None
    treatment: OwnTreatment = None
    treatment_evidence: PreservativeProof | None = None
    old_coating: OwnOld = None
    lead_test: LeadTested | None = None
    lead_test_method: LeadTestedBy | None = None
    lead_test_date: LeadTestedOn | None = None
    coating: OwnCoating = None
    coats: OwnCoats = None
    surface: OwnSurface = None
    signs: OwnSigns = ()
    structure: Annotated[Structure, F("What whoever looked says of its fixing and stiffness")] | None = None
    underside_surface: Underside = None


class Job(msgspec.Struct, frozen=True, kw_only=True):
    """A deck and what is to be done to it."""

    LATER: ClassVar[frozenset[str]] = LATER

    schema: Annotated[Literal[1], F("Version of the job format")]
    zones: Annotated[tuple[Zone, ...], F("Regions of the deck", ge=1, max_items=200)]
    name: Annotated[str, F("What the job is called; echoed", max_length=100, example="Millrace deck")] | None = None
    reference: (
        Annotated[str, F("The caller's own number of the job; echoed", max_length=100, example="2026-041")] | None
    ) = None
    units: Annotated[Literal["metric", "us"], F("Units of the answer; the query wins")] | None = None
    language: (
        Annotated[Literal["en", "en-US", "es"], F("Language of the answer; the query and Accept-Language win")] | None
    ) = None
    as_of: Annotated[date, F("Day the plan is made for; dated limits are read on it", example="2026-05-04")] | None = (
        None
    )
    site: Annotated[Site, F("Where the deck is")] = Site()
    defaults: Annotated[ZoneFields, F("Fields of every zone that does not say otherwise")] = ZoneFields()
    stairs: Annotated[tuple[Stair, ...], F("Flights of stairs", max_items=50)] = ()
    guards: Annotated[tuple[Guard, ...], F("Guards, each a straight run", max_items=200)] = ()
    extras: Annotated[tuple[Extra, ...], F("Fascia, skirting, lattice, benches, posts", max_items=200)] = ()
    sanding: Annotated[Sanding, F("How the deck is sanded")] | None = None
    machines: Annotated[tuple[SandPart, ...], F("Machines, speeds and grades of single parts", max_items=20)] = ()
    stock: Annotated[tuple[StockGrade, ...], F("Abrasive at hand", max_items=100)] = ()
    patches: Annotated[tuple[SandPatch, ...], F("What trials on the deck itself showed", max_items=100)] = ()
    fastening: Annotated[Fastening, F("What holds the boards")] | None = None
    surroundings: Annotated[Surroundings, F("What lies round and under the deck")] | None = None
    crew: Annotated[Crew, F("Who coats and wipes")] | None = None
    finishes: Annotated[tuple[Finish, ...], F("Products that are bought, one of a coating family", max_items=20)] = ()
    choices: Annotated[Choices, F("Choices where practitioners or sources differ")] = Choices()
    weather: Annotated[Weather, F("Weather at the deck, by the hour or by the day")] | None = None
    readings: Annotated[tuple[MoistureReading, ...], F("Meter readings", max_items=400)] = ()
    drop_tests: Annotated[tuple[DropTest, ...], F("Drops of water put on bare wood", max_items=200)] = ()
    wetting: Annotated[tuple[WettingEvent, ...], F("Washing, rain, frost or dew, past or planned", max_items=60)] = ()
    moisture: Annotated[Moisture, F("Climate, start and rules for whether the wood is dry enough")] | None = None
    stated_area: StatedArea | None = None
    pad_width: PadWidth | None = None
    labour_allowance: LabourRule | None = None
