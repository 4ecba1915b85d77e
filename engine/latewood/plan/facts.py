"""What a job says that cautions are looked up by: hazards of age, treatment and old coating, zone by zone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged
from latewood.plan.seen import old_coating
from latewood.provenance import Ledger
from latewood.rules.hazards import Years
from latewood.rules.regions import region_of


def state(job: Job, zones: Iterable[Merged], known: Known, ledger: Ledger) -> None:
    """Write the facts of each zone into the ledger, and the years they turned on into its basis."""
    rules = Years(job.site.year_built, region_of(known, job.site.jurisdiction), ledger)
    for merged in zones:
        for name, value in _facts(merged, rules, known).items():
            ledger.fact(name, value, of=merged.id)


def turns_on_year(merged: Merged) -> bool:
    """Say whether a year rule bears on this zone: its preservative is unknown, or it has an old coating."""
    return merged.fields.treatment == "unknown" or merged.fields.old_coating not in (None, "none")


def _facts(merged: Merged, rules: Years, known: Known) -> Mapping[str, Any]:
    fields = merged.fields
    facts: dict[str, Any] = {"material": fields.material or "wood"}
    if fields.treatment is not None:
        facts["treatment"] = fields.treatment
    facts["arsenical"] = rules.arsenical(fields.treatment)
    old = old_coating(merged, known)
    if old is not None and old != "none":
        # Sanding it makes dust that heats itself as oily rags do.
        facts["binder"] = old.binder
        facts["lead_paint"] = rules.lead(old)
    if fields.species is not None and facts["material"] == "wood":
        facts["sensitiser"] = fields.species.sensitiser
    return facts
