"""What differs from market to market: containers on sale, currency, years that make a hazard likely."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal, get_args

import msgspec

from latewood.provenance import Sourced
from latewood.records.base import ID, Jurisdiction, Record, covers
from latewood.records.fields import Matching
from latewood.records.last_day import LastDay
from latewood.records.number import N
from latewood.records.stated import Stated

#: Uses of wood that rules on arsenic tell apart: boards and handrails, and what carries them.
Use = Literal["boards", "frame"]


class Accepted(Stated, frozen=True, kw_only=True):
    """What a rule of the place accepts, in words that end a sentence."""

    message: str


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
    parts: Annotated[
        tuple[Jurisdiction, ...],
        "ISO 3166 codes of every part of it, so that another is noticed; empty if unlisted",
    ] = ()
    currency: Annotated[str, Matching(r"[A-Z]{3}", "an ISO 4217 code, such as USD"), "Currency prices are in"]
    units: Annotated[Literal["us", "metric"], "Units people there write"]
    container_sizes: tuple[Container, ...]
    lead_paint_before: Annotated[
        Sourced | None,
        N(None, "A building older than this year may carry lead paint", whole=True, least=1800, most=2100),
    ] = None
    arsenical_until: Annotated[
        Mapping[str, Sourced],
        LastDay(
            "Last day on which new wood with arsenic may have been built in, stocks included, by its use; without a "
            "day, no age rules it out",
            keys=get_args(Use),
        ),
    ] = {}
    lead_test_accepted: Annotated[Accepted | None, "Whose lead test the rule of the place accepts"] = None
    shrouded_lead_sanding: Annotated[
        Accepted | None, "Who may sand lead paint by machine with a shroud and a HEPA vacuum; without it, look it up"
    ] = None
    shrouded_sanding_barred: Annotated[
        Mapping[Jurisdiction, Stated], "By its code, a part of it whose own rule forbids that even so"
    ] = {}
    guard_above: Annotated[
        Sourced | None, N("mm", "Floor higher above the ground than this has guards at its open edges", most=5000)
    ] = None
    notes: tuple[str, ...] = ()

    @property
    def code(self) -> str | None:
        """The ISO 3166 code it goes by, where it is one country."""
        return self.jurisdictions[0] if len(self.jurisdictions) == 1 else None

    def covers(self, jurisdiction: str) -> bool:
        """Say whether it takes in a place, given by its ISO 3166 code."""
        return covers(self.jurisdictions, jurisdiction)

    def lacks(self, jurisdiction: str) -> bool:
        """Say whether a code names a part of it that there is not, as far as its parts are listed."""
        return bool(self.parts) and jurisdiction not in (*self.jurisdictions, *self.parts)

    def within(self, jurisdiction: str) -> Region:
        """Return it as it is in a part of it, whose own rule may be stricter."""
        if any(covers((part,), jurisdiction) for part in self.shrouded_sanding_barred):
            return msgspec.structs.replace(self, shrouded_lead_sanding=None)
        return self
