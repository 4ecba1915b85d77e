"""What is known of one coating on one wood, better than its family's table knows it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.coating import SURFACES
from latewood.records.fields import Ref
from latewood.records.number import N


class Pairing(Record, frozen=True, kw_only=True):
    """One coating on one species; its spreading rates stand in for the coating's on the surfaces it names."""

    KIND: ClassVar[str] = "pairing"

    coating: Annotated[str, Ref("coating")]
    species: Annotated[str, Ref("species")]
    spreading: Annotated[
        Mapping[str, Sourced], N("m2/L", "First coat, by surface", keys=(SURFACES,), least=0.1, most=100)
    ]
    rate_basis: Annotated[
        Literal["applied", "retained"] | None, "What the rates count, where it is not what the coating's count"
    ] = None
    notes: tuple[str, ...] = ()

    @property
    def pair(self) -> tuple[str, str]:
        """The ids of the coating and the species."""
        return self.coating, self.species
