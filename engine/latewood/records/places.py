"""Which region record holds for a place, and what is said where none does: for every calculator and the plan."""

from __future__ import annotations

from typing import Any, Final

from latewood.declare import RecordLookup
from latewood.messages import Clause, Code, Titled, clause
from latewood.provenance import Ledger
from latewood.records.region import Region

#: What an answer goes by where no record covers the place, by a field of its inputs that turns on it.
_ASSUMED: Final = {"year_built": clause("no-year-of-place"), "voc_rules": clause("no-limit-of-place")}


def region_of(known: RecordLookup, jurisdiction: str | None) -> Region | None:
    """Return the region that takes in an ISO 3166 code, as it is there: the one that names it, else its country."""
    if jurisdiction is None:
        return None
    regions: list[Region] = list(known.records("region").values())
    named = (region for code in (jurisdiction, jurisdiction[:2]) for region in regions if code in region.jurisdictions)
    return next((region.within(jurisdiction) for region in named), None)


def note_place(inputs: Any, known: RecordLookup, ledger: Ledger) -> None:
    """Say that the place an input names is on no record, and what the answer goes by."""
    fields = getattr(inputs, "__struct_fields__", ())
    if "jurisdiction" in fields:
        note_unknown(inputs.jurisdiction, known, ledger, [text for name, text in _ASSUMED.items() if name in fields])


def note_unknown(
    jurisdiction: str | None,
    known: RecordLookup,
    ledger: Ledger,
    assumed: list[Clause] | None = None,
    pointer: str = "/jurisdiction",
) -> None:
    """Say that a place is on no record, or is no part of its country, and what the answer goes by instead."""
    if jurisdiction is None:
        return
    region = region_of(known, jurisdiction)
    params, code = {"jurisdiction": jurisdiction}, Code(jurisdiction)
    if region is None:
        told = list(_ASSUMED.values()) if assumed is None else assumed
        ledger.find("place-not-known", pointer=pointer, params=params, jurisdiction=code, assumed=told)
    elif region.lacks(jurisdiction):
        text, whole = "part-of-place-not-known", Titled(region)
        ledger.find("place-not-known", text=text, pointer=pointer, params=params, region=whole, jurisdiction=code)
