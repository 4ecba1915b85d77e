"""What differs from market to market: containers on sale, currency, years that make a hazard likely."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec

from latewood.provenance import Sourced
from latewood.records.base import ID, Jurisdiction, Record, covers
from latewood.records.fields import Matching
from latewood.records.number import N


class Container(msgspec.Struct, frozen=True, kw_only=True):
    """A container on sale. ``fill`` is what is in it where that is less than its nominal size."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    size: Annotated[Sourced, N("L", "Nominal size", least=0.01, most=1100)]
    fill: Annotated[Sourced | None, N("L", "Volume of coating in it", least=0.01, most=1100)] = None

    @property
    def content(self) -> Sourced:
        """The volume of coating in it."""
        return self.fill or self.size


class Region(Record, frozen=True, kw_only=True):
    """A market."""

    KIND: ClassVar[str] = "region"

    jurisdictions: Annotated[tuple[Jurisdiction, ...], "ISO 3166 codes it takes in"]
    currency: Annotated[str, Matching(r"[A-Z]{3}", "an ISO 4217 code, such as USD"), "Currency prices are in"]
    units: Annotated[Literal["us", "metric"], "Units people there write"]
    container_sizes: tuple[Container, ...]
    lead_paint_before: Annotated[
        Sourced | None,
        N(None, "A building older than this year may carry lead paint", whole=True, least=1800, most=2100),
    ] = None
    arsenical_before: Annotated[
        Sourced | None,
        N(
            None,
            "Treated wood built in before this year may hold arsenic; without a year, no age rules it out",
            whole=True,
            least=1900,
            most=2100,
        ),
    ] = None
    guard_above: Annotated[
        Sourced | None, N("mm", "Floor higher above the ground than this has guards at its open edges", most=5000)
    ] = None
    notes: tuple[str, ...] = ()

    def covers(self, jurisdiction: str) -> bool:
        """Say whether it takes in a place, given by its ISO 3166 code."""
        return covers(self.jurisdictions, jurisdiction)
