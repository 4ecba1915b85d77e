"""What a job says that cautions are looked up by: hazards of age, treatment and old coating, zone by zone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from latewood.declare import Known
from latewood.plan.job import Job
from latewood.plan.merged import Merged
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating


def region_of(known: Known, jurisdiction: str | None) -> Any | None:
    """Return the region record that covers a jurisdiction: its own code first, then its country's."""
    if jurisdiction is None:
        return None
    for code in (jurisdiction, jurisdiction[:2]):
        for region in known.records("region").values():
            if code in region.jurisdictions:
                return region
    return None


def state(job: Job, zones: Iterable[Merged], known: Known, ledger: Ledger) -> None:
    """Write the facts of each zone into the ledger, and the years they turned on into its basis."""
    rules = _Rules(job.site.year_built, region_of(known, job.site.jurisdiction), ledger)
    for merged in zones:
        for name, value in _facts(merged, rules).items():
            ledger.fact(name, value, of=merged.id)


def turns_on_year(merged: Merged) -> bool:
    """Say whether a year rule bears on this zone: its preservative is unknown, or it has an old coating."""
    return merged.fields.treatment == "unknown" or merged.fields.old_coating not in (None, "none")


def _facts(merged: Merged, rules: _Rules) -> Mapping[str, Any]:
    fields = merged.fields
    facts: dict[str, Any] = {"material": fields.material or "wood"}
    if fields.treatment is not None:
        facts["treatment"] = fields.treatment
    facts["arsenical"] = rules.arsenical(fields.treatment)
    old = fields.old_coating
    if old is not None and old != "none":
        # Sanding it makes dust that heats itself as oily rags do.
        facts["binder"] = old.binder
        facts["lead_paint"] = rules.lead(old)
    return facts


@dataclass(frozen=True)
class _Rules:
    """The years that rule a hazard out, in one place."""

    built: int | None
    region: Any | None
    ledger: Ledger

    def arsenical(self, treatment: str | None) -> str:
        """Say whether the wood may hold arsenic. Unknown treatment counts as suspected unless the year rules it out."""
        if treatment == "arsenical":
            return "yes"
        if treatment != "unknown":
            return "no"
        return self._unless_built_since("arsenical_before")

    def lead(self, old: Coating) -> str:
        """Say whether an old coating may hold lead: films of before the region's year, and unknown coatings."""
        if not old.film and old.binder != "unknown":
            return "no"
        return self._unless_built_since("lead_paint_before")

    def _unless_built_since(self, name: str) -> str:
        """Return no where the region's year rules a hazard out; without that or a year of building nothing does."""
        number: Sourced | None = getattr(self.region, name, None)
        if number is None or self.built is None:
            return "suspected"
        self.ledger.take(number)
        return "no" if self.built >= number.si else "suspected"
