"""Which region record holds for a place, and what is said where none does: for every calculator and the plan."""

from __future__ import annotations

from typing import Any, Final

from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records.region import Region

#: What an answer goes by where no record covers the place, by a field of its inputs that turns on it.
_ASSUMED: Final = {
    "year_built": "No year of building rules lead or arsenic out there",
    "voc_rules": "No VOC limit of the place is applied, and containers not given are those sold in the United States",
}


def region_of(known: RecordLookup, jurisdiction: str | None) -> Region | None:
    """Return the region that takes in an ISO 3166 code: the one that names the code, else its country."""
    if jurisdiction is None:
        return None
    regions: list[Region] = list(known.records("region").values())
    named = (region for code in (jurisdiction, jurisdiction[:2]) for region in regions if code in region.jurisdictions)
    return next(named, None)


def note_place(inputs: Any, known: RecordLookup, ledger: Ledger) -> None:
    """Say that the place an input names is on no record, and what the answer goes by."""
    fields = getattr(inputs, "__struct_fields__", ())
    if "jurisdiction" in fields:
        note_unknown(inputs.jurisdiction, known, ledger, [text for name, text in _ASSUMED.items() if name in fields])


def note_unknown(
    jurisdiction: str | None,
    known: RecordLookup,
    ledger: Ledger,
    assumed: list[str] | None = None,
    pointer: str = "/jurisdiction",
) -> None:
    """Say that a place is on no record, or is no part of its country, and what the answer goes by instead."""
    if jurisdiction is None:
        return
    region = region_of(known, jurisdiction)
    if region is None:
        told = list(_ASSUMED.values()) if assumed is None else assumed
        what = f"No record covers the place {jurisdiction}. " + "".join(f"{text}. " for text in told)
    elif region.lacks(jurisdiction):
        what = f"{region.title} has no part {jurisdiction} on record. Only the rules of the whole are taken. "
    else:
        return
    message = f"{what}Check the code. If it is right, look up the rules of the place."
    ledger.find("place-not-known", "warning", message, pointer=pointer, jurisdiction=jurisdiction)
