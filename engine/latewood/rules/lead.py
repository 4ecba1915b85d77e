"""Whether an old coating may hold lead: by its year and place, or by a test; and whether it may be sanded then.

40 CFR 745.103 defines lead-based paint as paint or other surface coatings, so stains and oils count as paint does.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Final, Literal

from latewood.messages import Clause, Moment, Word, clause
from latewood.provenance import Ledger
from latewood.records import Region
from latewood.rules.days import note_unchecked
from latewood.rules.hazard_fields import LeadMethod, LeadTest, Old
from latewood.rules.hazards import Suspicion, Years
from latewood.rules.wording import Place

Extraction = Literal["none", "vacuum", "shroud-hepa"]

_BY: Final[dict[LeadMethod, str]] = {
    "laboratory": "tested-by-laboratory",
    "xrf": "tested-by-xrf",
    "spot-kit": "tested-by-spot-kit",
}


@dataclass(frozen=True)
class OldCoat:
    """What is said of an old coating, and of a test of it."""

    old: Old | None
    test: LeadTest | None = None
    method: LeadMethod | None = None
    day: date | None = None
    #: Whether it is on wood that is coated against the weather, so that silence does not make it bare.
    weathers: bool = False

    def lead(self, years: Years) -> Suspicion:
        """Say whether it may hold lead.

        On what weathers a coating that is not named is suspected by its year, and asked for without a year.

        Lead that was found counts however it was found. That none was found settles it only with the method and the
        day of the test: without them it is an opinion, as a preservative is without end tag or test.
        """
        if self.test == "found":
            return "yes"
        silent = self.old is None and not (self.weathers and years.built is not None)
        return "no" if silent or self.old == "none" or self.settled else years.lead()

    @property
    def settled(self) -> bool:
        """Whether a test says what the coating holds."""
        shown = self.method is not None and self.day is not None
        return self.test == "found" or (self.test == "none-found" and shown)

    def note_test(
        self,
        region: Region | None,
        ledger: Ledger,
        at: str = "",
        of: Place = (),
        named: str = "lead_test",
        *,
        today: date | None,
    ) -> None:
        """Write down the result with method and day, and whose test the rule of the place accepts."""
        if self.test is None:
            return
        name = f"{at}/{named}"
        by = [] if self.method is None else [clause(_BY[self.method])]
        on = [] if self.day is None else [clause("tested-on", day=Moment(self.day))]
        told = clause("lead-test-told", result=Word("lead-test", self.test), by=by, on=on)
        ledger.use(f"input{name}", told, "reported")
        note_unchecked(self.day, today, ledger)
        if self.test != "none-found":
            return
        if not self.settled:
            ledger.find("lead-test-unshown", pointer=name, of=list(of))
            return
        whose = clause("ask-whose-test")
        if region is not None and (accepts := region.lead_test_accepted) is not None:
            whose = clause("rule-accepts-test", accepts=region.prose(accepts.message, "lead_test_accepted", "message"))
        ledger.find("lead-test-kept", pointer=name, of=list(of), by=by, whose=whose)


def coat_of(x: Any) -> OldCoat:
    """Return what an input says of its old coating."""
    return OldCoat(x.old_coating, x.lead_test, x.lead_test_method, x.lead_test_date)


def washing_forbidden(lead: Suspicion) -> Clause | None:
    """Return why no coating may be washed or stripped off; None where it may."""
    if lead == "no":
        return None
    return clause("lead-is-not-washed" if lead == "yes" else "lead-may-not-be-washed")


def known_of(lead: Suspicion) -> Clause:
    """Return what is known of lead in a coating, where it is not ruled out."""
    return clause("coating-holds-lead" if lead == "yes" else "lead-not-ruled-out")


def dry_sanding_forbidden(
    lead: Suspicion, test: LeadTest | None, extraction: Extraction | None, region: Region | None
) -> Clause | None:
    """Return why no machine may sand a coating dry; None where it may.

    A shroud with a HEPA vacuum opens it only where a rule of the place says so, and only after the coating was tested,
    or was said not to be.
    """
    if lead == "no":
        return None
    known = known_of(lead)
    if extraction != "shroud-hepa":
        return clause("no-dry-sanding-without-shroud", known=known)
    if region is None or region.shrouded_lead_sanding is None:
        return clause("no-rule-allows-shroud", known=known)
    if lead == "suspected" and test != "not-tested":
        return clause("test-lead-first", known=known)
    return None


def note_licensed(lead: Suspicion, region: Region | None, ledger: Ledger, of: Place = ()) -> None:
    """Say who may sand lead with a shroud, where the rule of the place is on record."""
    who = clause("no-rule-allows-it")
    if region is not None and (rule := region.shrouded_lead_sanding) is not None:
        who = clause("rule-allows", allows=region.prose(rule.message, "shrouded_lead_sanding", "message"))
    ledger.find("lead-licensed-work", pointer="/extraction", of=list(of), known=[known_of(lead)], who=who)
