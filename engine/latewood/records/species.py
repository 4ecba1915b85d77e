"""Species of wood, and the names that may mean several of them."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec

from latewood.provenance import Sourced
from latewood.records.base import ID, Record
from latewood.records.fields import Matching, Ref
from latewood.records.number import N

Absorbency = Literal["low", "medium", "high"]


class Species(Record, frozen=True, kw_only=True):
    """A species, or a group sold under one name."""

    KIND: ClassVar[str] = "species"

    botanical: Annotated[str, "Botanical name or names"]
    group: Annotated[Literal["softwood", "hardwood"], "Decides which lumber sizes apply"]
    absorbency: Annotated[Absorbency, "How much a penetrating finish goes in"]
    density: Annotated[Sourced, N("kg/m3", "Density at 12 % moisture content", least=50, most=1500)]
    basic_density: Annotated[
        Sourced | None,
        N("kg/m3", "Oven-dry mass by green volume; basic specific gravity times 1000", least=50, most=1300),
    ] = None
    synonyms: Annotated[tuple[str, ...], "Other names that mean this and nothing else"] = ()
    notes: Annotated[tuple[str, ...], "What a practitioner should know"] = ()


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
