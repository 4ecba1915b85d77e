"""Whether an old coating may hold lead: by its year and place, or by a test; and whether it may be sanded then.

40 CFR 745.103 defines lead-based paint as paint or other surface coatings, so stains and oils count as paint does.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Final, Literal

from latewood.provenance import Ledger
from latewood.records import Region
from latewood.rules.days import note_unchecked
from latewood.rules.hazard_fields import LeadMethod, LeadTest, Old
from latewood.rules.hazards import Suspicion, Years

Extraction = Literal["none", "vacuum", "shroud-hepa"]

_BY: Final[dict[LeadMethod | None, str]] = {
    "laboratory": " by a laboratory",
    "xrf": " by X-ray fluorescence",
    "spot-kit": " by a spot test kit",
    None: "",
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
        of: str = "",
        named: str = "lead_test",
        *,
        today: date | None,
    ) -> None:
        """Write down the result with method and day, and whose test the rule of the place accepts."""
        if self.test is None:
            return
        name = f"{at}/{named}"
        given = f"{self.test.replace('-', ' ')}{_BY[self.method]}" + ("" if self.day is None else f" on {self.day}")
        ledger.use(f"input{name}", given, "reported")
        note_unchecked(self.day, today, ledger)
        if self.test != "none-found":
            return
        if not self.settled:
            message = (
                f"{of}A test that found no lead counts once its method and day are given; until then the year decides. "
                "Take them from the report."
            )
            ledger.find("lead-test-unshown", "warning", message, pointer=name)
            return
        accepts = None if region is None else region.lead_test_accepted
        whose = (
            "Ask the authority of the place whose test its rule accepts"
            if accepts is None
            else f"The rule of the place accepts {accepts.message}"
        )
        message = f"{of}A test found no lead{_BY[self.method]}. {whose}. Keep the report with the job."
        ledger.find("lead-test-kept", "note", message, pointer=name)


def coat_of(x: Any) -> OldCoat:
    """Return what an input says of its old coating."""
    return OldCoat(x.old_coating, x.lead_test, x.lead_test_method, x.lead_test_date)


def washing_forbidden(lead: Suspicion) -> str:
    """Return why no coating may be washed or stripped off; nothing where it may."""
    if lead == "yes":
        return "the old coating holds lead: look up who may take it off, and how, by the rule of the place"
    return "" if lead == "no" else "lead is not ruled out: nothing is washed off until it is tested"


def dry_sanding_forbidden(
    lead: Suspicion, test: LeadTest | None, extraction: Extraction | None, region: Region | None
) -> str:
    """Return why no machine may sand a coating dry; nothing where it may.

    A shroud with a HEPA vacuum opens it only where a rule of the place says so, and only after the coating was tested,
    or was said not to be.
    """
    if lead == "no":
        return ""
    known = "the old coating holds lead" if lead == "yes" else "lead is not ruled out"
    if extraction != "shroud-hepa":
        return f"{known}: no dry machine sanding without a shroud and a HEPA extractor"
    if region is None or region.shrouded_lead_sanding is None:
        return f"{known}, and no rule on record here allows sanding it with a shroud: look up the rule of the place"
    if lead == "suspected" and test != "not-tested":
        return f"{known}: have it tested first, or state that it is not tested"
    return ""


def note_licensed(lead: Suspicion, region: Region | None, ledger: Ledger, of: str = "") -> None:
    """Say who may sand lead with a shroud, where the rule of the place is on record."""
    rule = None if region is None else region.shrouded_lead_sanding
    who = "No rule on record here allows it" if rule is None else f"The rule of the place allows {rule.message}"
    what = "The old coating holds lead" if lead == "yes" else "Lead is not ruled out"
    message = (
        f"{of}{what}, and a shroud and a HEPA extractor are not enough by themselves. {who}. Look up "
        "what it asks for besides: sheets, clean-up and a check."
    )
    ledger.find("lead-licensed-work", "danger", message, pointer="/extraction")
