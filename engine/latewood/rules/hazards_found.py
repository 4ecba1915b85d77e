"""Every hazard in one thing that is to be worked on: what is in its wood, its old coating and the frame under it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from latewood.messages import Clause, clause
from latewood.provenance import Ledger, Severity
from latewood.records import Region
from latewood.records.region import Use
from latewood.rules.hazards import Suspicion, Years, worst
from latewood.rules.lead import Extraction, OldCoat, coat_of, dry_sanding_forbidden, note_licensed, washing_forbidden
from latewood.rules.preservatives import Wood, frame_of, note_frame, note_preservative, wood_of
from latewood.rules.wording import Place


@dataclass(frozen=True)
class Found:
    """What may be in one thing, and what that forbids. ``frame`` is None where no water can run over one."""

    wood: Wood
    coat: OldCoat
    arsenical: Suspicion
    lead: Suspicion
    region: Region | None
    frame: Wood | None = None
    frame_arsenical: Suspicion = "no"

    @property
    def no_work(self) -> Clause | None:
        """Why no work at all may be planned on it; None where it may."""
        return self.wood.no_work()

    @property
    def arsenic_in_water(self) -> Suspicion:
        """Whether rinse water may carry arsenic: from the boards or from the frame under them."""
        return worst(self.arsenical, self.frame_arsenical)

    @property
    def not_washed_off(self) -> Clause | None:
        """Why its old coating may be neither washed nor stripped off; None where it may."""
        return washing_forbidden(self.lead)

    def not_sanded(self, extraction: Extraction | None) -> tuple[Clause, ...]:
        """Return every reason why no machine may sand it."""
        found = [] if self.no_work is None else [clause("no-work-not-sanded", why=self.no_work)]
        if self.arsenical != "no":
            found.append(clause("arsenic-dust-poisons" if self.arsenical == "yes" else "arsenic-dust-may-poison"))
        lead = dry_sanding_forbidden(self.lead, self.coat.test, extraction, self.region)
        return tuple(found) if lead is None else (*found, lead)

    def state(self, ledger: Ledger, of: str = "") -> None:
        """State what cautions are looked up by."""
        ledger.fact("treatment", self.wood.counted, of=of)
        ledger.fact("arsenical", self.arsenical, of=of)
        ledger.fact("lead_paint", self.lead, of=of)

    def state_frame(self, ledger: Ledger) -> None:
        """State what cautions about the frame are looked up by, where water will run over it."""
        if self.frame is not None:
            ledger.fact("treatment", self.frame.counted, of="frame")
            ledger.fact("arsenical", self.frame_arsenical, of="frame")
            # What is so of the boards is not so of the frame.
            ledger.fact("lead_paint", "no", of="frame")

    def note_not_sanded(
        self,
        extraction: Extraction | None,
        ledger: Ledger,
        at: str = "",
        place: Place = (),
        severity: Severity = "stop",
        **params: Any,
    ) -> None:
        """Say why no machine may sand it, and what to do instead: a danger where none would have come to it anyway."""
        if self.arsenical != "no":
            text = "arsenic-not-sanded" if self.arsenical == "yes" else "arsenic-suspected-not-sanded"
            pointer, of = f"{at}/treatment", list(place)
            ledger.find("arsenic-not-sanded", severity, text=text, pointer=pointer, params=params, of=of)
        if why := dry_sanding_forbidden(self.lead, self.coat.test, extraction, self.region):
            text = "lead-not-sanded" if self.lead == "yes" else "lead-suspected-not-sanded"
            pointer, of = f"{at}/old_coating", list(place)
            ledger.find("lead-not-sanded", severity, text=text, pointer=pointer, params=params, of=of, why=[why])
        elif self.lead != "no":
            note_licensed(self.lead, self.region, ledger, place)


def found_of(wood: Wood, coat: OldCoat, years: Years) -> Found:
    """Return the hazards of a wood under an old coating."""
    return Found(wood, coat, wood.arsenical(years), coat.lead(years), years.region)


def hazards_of(x: Any, years: Years, uses: tuple[Use, ...] = ("boards",)) -> Found:
    """Return the hazards of something by what is said of its wood and its old coating."""
    weathers = "boards" in uses and getattr(x, "material", None) in (None, "wood")
    return found_of(wood_of(x, uses), replace(coat_of(x), weathers=weathers), years)


def with_frame(x: Any, years: Years) -> Found:
    """Return the hazards of a floor and of the frame under it."""
    found, frame = hazards_of(x, years), frame_of(x.frame)
    return replace(found, frame=frame, frame_arsenical=frame.arsenical(years))


def note_found(found: Found, years: Years, ledger: Ledger, at: str = "", of: Place = (), **params: Any) -> None:
    """Write down what was reported of wood, frame and coating, and what would settle what is open."""
    note_preservative(found.wood, years, ledger, at, of, **params)
    if found.frame is not None:
        note_frame(found.frame, years, ledger, f"{at}/frame")
    found.coat.note_test(found.region, ledger, at, of, today=years.today)
