"""Species of wood, and the names that may mean several of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final, Literal

import msgspec

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import ID, Record
from latewood.records.column import Column
from latewood.records.fields import Matching, Ref
from latewood.records.number import N
from latewood.records.wood_facts import SCALES, Durability, Dust, Extractive, Preserved

Absorbency = Literal["low", "medium", "high"]

DIRECTIONS: Final = ("radial", "tangential")
#: Moisture contents in per cent at which the resistance of wood is tabulated.
METER_ROWS: Final = tuple(str(percent) for percent in range(7, 26))


class Species(Record, frozen=True, kw_only=True):
    """A species, or a group sold under one name."""

    KIND: ClassVar[str] = "species"

    botanical: Annotated[str, "Botanical name or names"]
    group: Annotated[Literal["softwood", "hardwood"], "Decides which lumber sizes apply"]
    modification: Annotated[
        Literal["none", "thermal", "acetylated"],
        "Wood changed throughout; a moisture meter's scale does not hold for it",
    ] = "none"
    members: Annotated[tuple[Annotated[str, Ref("species")], ...], "Species a group without a name may be"] = ()
    absorbency: Annotated[Absorbency, "How much a penetrating finish goes in"]
    density: Annotated[Sourced, N("kg/m3", "Density at 12 % moisture content", least=50, most=1500)]
    basic_density: Annotated[
        Sourced | None,
        N("kg/m3", "Oven-dry mass by green volume; basic specific gravity times 1000", least=50, most=1300),
    ] = None
    fibre_saturation: Annotated[
        Sourced | None, N("%", "Moisture content below which the wood shrinks", least=15, most=40)
    ] = None
    shrinkage: Annotated[
        Mapping[str, Sourced],
        N("%", "Green to oven-dry, share of the green size", keys=((*DIRECTIONS, "volumetric"),), least=0.1, most=30),
    ] = {}
    movement: Annotated[
        Mapping[str, Sourced],
        N(
            "%",
            "Published dimensional change coefficient: change of size for each percentage point of moisture content, "
            "as a share of the size, at service moisture contents",
            keys=(DIRECTIONS,),
            least=0.01,
            most=1,
        ),
    ] = {}
    hardness: Annotated[
        Mapping[str, Sourced],
        N("N", "Janka side hardness, green and at 12 %", keys=(("green", "dry"),), least=500, most=30_000),
    ] = {}
    brinell: Annotated[
        Sourced | None, N("MPa", "Brinell hardness at about 12 %, across the grain", least=1, most=150)
    ] = None
    meter_resistance: Annotated[
        Mapping[str, Sourced],
        Column(
            "Mohm",
            "Resistance between two needles, along the grain at 27 °C, by moisture content in per cent",
            keys=(METER_ROWS,),
            least=1e-3,
            most=1e7,
        ),
    ] = {}
    meter_correction: Annotated[
        Mapping[str, Sourced],
        N(
            "%",
            "Percentage points to add to a resistance meter's reading on the Douglas-fir scale, already corrected for "
            "temperature, by the reading in per cent",
            keys=(METER_ROWS,),
            least=-10,
            most=10,
        ),
    ] = {}
    durability: tuple[Durability, ...] = ()
    extractives: tuple[Extractive, ...] = ()
    dust: tuple[Dust, ...] = ()
    preserved: Annotated[
        Preserved | None, "Whether decks of it are usually treated against decay; by its group where left out"
    ] = None
    notes: Annotated[tuple[str, ...], "What a practitioner should know"] = ()

    @property
    def spoken(self) -> tuple[str, ...]:
        """Every name it may be looked up by."""
        return *super().spoken, self.botanical

    @property
    def sensitiser(self) -> str:
        """Whether its dust sensitises: yes, suspected, or no for want of a report."""
        told = [effect.certainty for effect in self.dust if effect.id == "sensitiser"]
        if not told:
            return "no"
        return "yes" if "reported" in told else "suspected"

    @property
    def seldom_treated(self) -> bool:
        """Whether no preservative need be suspected in it unless one is named: hardwood takes hardly any up."""
        return self.group == "hardwood" if self.preserved is None else self.preserved.usually == "no"

    def conflicts(self) -> Iterator[Fault]:
        """Hold what is said against the scales it is said on, and numbers against one another."""
        for index, grade in enumerate(self.durability):
            yield from _off_the_scale(grade, f"/durability/{index}")
        shrinking = [self.shrinkage[name].si for name in (*DIRECTIONS, "volumetric") if name in self.shrinkage]
        if shrinking != sorted(shrinking):
            detail = "radial, tangential and volumetric shrinkage do not grow in this order"
            yield Fault(pointer="/shrinkage", code="conflict", detail=detail, expected="radial below tangential first")
        if self.basic_density is not None and self.basic_density.si >= self.density.si:
            detail = "the basic density is not below the density at 12 %"
            expected = "oven-dry mass by green volume, which is less"
            yield Fault(pointer="/basic_density", code="conflict", detail=detail, expected=expected)


def _off_the_scale(grade: Durability, pointer: str) -> Iterator[Fault]:
    scale = SCALES[grade.scale]
    given = {"best": grade.best, "worst": grade.worst or grade.best}
    wrong = [part for part, word in given.items() if word not in scale]
    for part in wrong:
        word = given[part]
        yield Fault(
            pointer=f"{pointer}/{part}",
            code="unknown-choice",
            detail=f"{word[:80]!r} is no grade of {grade.scale}",
            expected="one of " + ", ".join(scale),
            nearest=nearest(word, scale),
        )
    if not wrong and scale.index(given["best"]) > scale.index(given["worst"]):
        detail = "the best grade is worse than the worst"
        yield Fault(pointer=f"{pointer}/best", code="bad-range", detail=detail, expected="the better grade first")


class Candidate(msgspec.Struct, frozen=True, kw_only=True):
    """One wood an ambiguous name may mean. It need not be on the shelf."""

    id: Annotated[str, Matching(ID.pattern, "the id its record has or would have")]
    botanical: str
    title: str
    where: Annotated[str, "Where or in which trade the name means this"] = ""


class Names(Record, frozen=True, kw_only=True):
    """A word that names several woods and so must not be taken for one of them. The id is the word."""

    KIND: ClassVar[str] = "names"

    candidates: tuple[Candidate, ...]
    source: Annotated[str | None, Ref("source")] = None

    @property
    def spoken(self) -> tuple[str, ...]:
        """Every name it may be looked up by, those of what it may mean among them."""
        return self.id, self.title, *(name for wood in self.candidates for name in (wood.title, wood.botanical))
