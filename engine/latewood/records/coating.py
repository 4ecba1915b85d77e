"""Coating families and what goes with putting them on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal, get_args

import msgspec

from latewood.problems import Fault
from latewood.provenance import Severity, Sourced
from latewood.records.base import ID, Record
from latewood.records.curing import DwellTimes, Limits, Stages
from latewood.records.fields import Matching, Ref
from latewood.records.number import N
from latewood.records.region import Container
from latewood.records.species import Absorbency

Surface = Literal["planed", "sanded", "rough-sawn", "weathered"]
Binder = Literal["drying-oil", "alkyd", "oil-modified-waterborne", "acrylic", "wax", "none", "unknown"]

SURFACES: tuple[Surface, ...] = get_args(Surface)
ABSORBENCIES: tuple[str, ...] = get_args(Absorbency)


class Advice(msgspec.Struct, frozen=True, kw_only=True):
    """Something to tell those who choose this family."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    severity: Severity
    message: str


class Coating(Record, frozen=True, kw_only=True):
    """A family of coatings, never a product. One of no coats is wood left as it is, and has no spreading rate."""

    KIND: ClassVar[str] = "coating"

    binder: Annotated[Binder, "Drying oil, alkyd, oil-modified waterborne and unknown may heat themselves in waste"]
    film: Annotated[bool, "Whether it forms a film on the surface"]
    pigment: Literal["none", "light", "semi-transparent", "solid"]
    carrier: Literal["solvent", "water", "either", "none", "unknown"]
    wiped: Annotated[bool, "Whether the excess is wiped off"]
    floors: Annotated[Literal["suitable", "advised-against"], "Advice for surfaces that are walked on"]
    coats: Annotated[Sourced, N(None, "Coats in one working; 0 where the wood is left bare", whole=True, most=6)]
    later_coat_share: Annotated[
        Sourced | None, N("%", "Volume of a later coat as a share of the first", least=1, most=150)
    ] = None
    rate_basis: Annotated[
        Literal["applied", "retained"], "Whether the spreading rate counts what is put on or what stays"
    ]
    spreading: Annotated[
        Mapping[str, Mapping[str, Sourced]],
        N(
            "m2/L",
            "First coat, by surface and absorbency; cells nobody has published stay out",
            keys=(SURFACES, ABSORBENCIES),
            least=0.1,
            most=100,
        ),
    ] = {}
    models: Annotated[Mapping[str, str], "Name of the model chosen, by model kind"] = {}
    limits: Annotated[Limits | None, "The weather it may be laid on in"] = None
    stages: Annotated[Stages | None, "How long it takes to cure"] = None
    dwell: Annotated[DwellTimes | None, "When its excess is wiped off"] = None
    bare_open: Annotated[
        Sourced | None, N("h", "Longest time between the last sanding and the first coat", most=1000)
    ] = None
    container_sizes: Annotated[tuple[Container, ...], "Where the family comes in other sizes than the region's"] = ()
    voc_category: Annotated[
        Mapping[str, str], "Its category in each set of VOC limits, by the name of the set's categories"
    ] = {}
    advice: tuple[Advice, ...] = ()

    def models_used(self) -> set[tuple[str, str]]:
        """Return kind and name of each model it chose."""
        return set(self.models.items())

    @property
    def bare(self) -> bool:
        """Whether it is no coating at all: the wood is left as it is."""
        return self.coats.si == 0

    def conflicts(self) -> Iterator[Fault]:
        """Hold coats and spreading rates against one another."""
        if self.bare and self.spreading:
            detail = "there are spreading rates, and no coat to lay on"
            yield Fault(pointer="/spreading", code="conflict", detail=detail, expected="no table where coats is 0")
        elif not self.bare and not self.spreading:
            detail = "there is no spreading rate"
            yield Fault(pointer="/spreading", code="missing", detail=detail, expected="one, unless coats is 0")


class AbsorbencyClass(Record, frozen=True, kw_only=True):
    """A class of how readily bare wood takes up a penetrating finish."""

    KIND: ClassVar[str] = "absorbency"

    order: Annotated[int, "Place in the order, 1 takes up least"]
    wiped_off: Annotated[Sourced, N("%", "Share of the applied volume that wiping takes off", most=100)]
    relative_rate: Annotated[
        Sourced | None,
        N(
            "%",
            "How far a penetrating finish goes on it, beside wood of high absorbency with the same surface",
            least=10,
            most=1000,
        ),
    ] = None


class Application(Record, frozen=True, kw_only=True):
    """A way of putting a coating on."""

    KIND: ClassVar[str] = "application"

    loss: Annotated[Sourced, N("%", "Share of the volume used that does not reach the surface", most=95)]
    protection: Annotated[str | None, Ref("site-protection"), "What it scatters, and what is covered for it"] = None
