"""Which region record holds for a place: its own code first, then its country's."""

from __future__ import annotations

from latewood.declare import Known
from latewood.records import Region


def region_of(known: Known, jurisdiction: str | None) -> Region | None:
    """Return the region that takes in an ISO 3166 code: the one that names the code, else its country."""
    if jurisdiction is None:
        return None
    regions: list[Region] = list(known.records("region").values())
    named = (region for code in (jurisdiction, jurisdiction[:2]) for region in regions if code in region.jurisdictions)
    return next(named, None)
