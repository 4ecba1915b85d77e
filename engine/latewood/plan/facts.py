"""What a job says that cautions are looked up by: hazards of age, treatment and old coating, zone by zone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged
from latewood.problems import Fault, InputProblem, nearest
from latewood.provenance import Ledger, Sourced

#: Words an old coating may be said with beside the id of a family.
OLD = ("none", "unknown")


def region_of(known: Known, jurisdiction: str | None) -> Any | None:
    """Return the region record that covers a jurisdiction: its own code first, then its country's."""
    if jurisdiction is None:
        return None
    for code in (jurisdiction, jurisdiction[:2]):
        for region in known.records("region").values():
            if code in region.jurisdictions:
                return region
    return None


def check_old_coatings(job: Job, known: Known) -> None:
    """Refuse an old coating that is neither a family on the shelf nor none or unknown."""
    ids = [*known.records("coating"), *OLD]
    places = [("/defaults/old_coating", job.defaults.old_coating)]
    for table in ("zones", "stairs", "guards", "extras"):
        places += [(f"/{table}/{place}/old_coating", one.old_coating) for place, one in enumerate(getattr(job, table))]
    faults = [
        Fault(
            pointer=at,
            code="unknown-id",
            detail=f"there is no coating {given!r}",
            expected="an id from /v1/catalogue/coating, none or unknown",
            nearest=nearest(given, ids),
        )
        for at, given in places
        if given is not None and given not in ids
    ]
    if faults:
        raise InputProblem(faults)


def state(job: Job, zones: Iterable[Merged], known: Known, ledger: Ledger) -> None:
    """Write the facts of each zone into the ledger."""
    region = region_of(known, job.site.jurisdiction)
    for merged in zones:
        for name, value in _facts(job, merged, known, region).items():
            ledger.fact(name, value, of=merged.id)


def turns_on_year(merged: Merged) -> bool:
    """Say whether a year rule bears on this zone: its preservative is unknown, or it has an old coating."""
    return merged.fields.treatment == "unknown" or merged.fields.old_coating not in (None, "none")


def _facts(job: Job, merged: Merged, known: Known, region: Any | None) -> Mapping[str, Any]:
    fields = merged.fields
    facts: dict[str, Any] = {"material": fields.material or "wood"}
    if fields.treatment is not None:
        facts["treatment"] = fields.treatment
    facts["arsenical"] = _arsenical(fields.treatment, job.site.year_built, region)
    old = fields.old_coating
    if old not in (None, "none"):
        record = None if old == "unknown" else known.record("coating", old)
        # Sanding it makes dust that heats itself as oily rags do.
        facts["binder"] = record.binder if record else "unknown"
        facts["lead_paint"] = _lead(record.film if record else None, job.site.year_built, region)
    return facts


def _arsenical(treatment: str | None, year: int | None, region: Any | None) -> str:
    """Say whether the wood may hold arsenic. Unknown treatment counts as suspected unless the year rules it out."""
    if treatment == "arsenical":
        return "yes"
    if treatment != "unknown":
        return "no"
    before = _year(region.arsenical_before) if region is not None else None
    # Built in the change-over year counts as suspect; without year or region nothing is ruled out.
    if year is None or before is None or year <= before:
        return "suspected"
    return "no"


def _lead(film: bool | None, year: int | None, region: Any | None) -> str:
    """Say whether an old coating may hold lead: films of the years before the region's rule, and unknown ones."""
    if film is False:
        return "no"
    before = _year(region.lead_paint_before) if region is not None else None
    if year is None or before is None or year < before:
        return "suspected"
    return "no"


def _year(number: Sourced | None) -> float | None:
    return None if number is None else number.si
