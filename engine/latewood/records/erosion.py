"""How far bare wood has worn away after years in the weather."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Final

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N

#: Years after which erosion is tabulated.
YEARS: Final = ("4", "8", "10", "12", "14", "16")


class Erosion(Record, frozen=True, kw_only=True):
    """Erosion of one wood, of the soft and of the hard part of its rings."""

    KIND: ClassVar[str] = "erosion"

    species: Annotated[str, Ref("species")]
    depth: Annotated[
        Mapping[str, Mapping[str, Sourced]],
        N("um", "Wood lost, by part of the ring and years", keys=(("earlywood", "latewood"), YEARS), least=1, most=1e4),
    ]


def last_year(record: Erosion) -> int:
    """Return the last year that a table of erosion reaches."""
    return max(int(year) for year in YEARS if year in record.depth["earlywood"])
