"""Every hazard in one thing that is to be worked on: what is in its wood, its old coating and the frame under it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from latewood.provenance import Ledger, Severity
from latewood.records import Region
from latewood.records.region import Use
from latewood.rules.hazards import Suspicion, Years, worst
from latewood.rules.lead import Extraction, OldCoat, coat_of, dry_sanding_forbidden, note_licensed, washing_forbidden
from latewood.rules.preservatives import Wood, frame_of, note_frame, note_preservative, wood_of


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
    def no_work(self) -> str:
        """Why no work at all may be planned on it; nothing where it may."""
        return self.wood.no_work()

    @property
    def arsenic_in_water(self) -> Suspicion:
        """Whether rinse water may carry arsenic: from the boards or from the frame under them."""
        return worst(self.arsenical, self.frame_arsenical)

    @property
    def not_washed_off(self) -> str:
        """Why its old coating may be neither washed nor stripped off; nothing where it may."""
        return washing_forbidden(self.lead)

    def not_sanded(self, extraction: Extraction | None) -> tuple[str, ...]:
        """Return every reason why no machine may sand it."""
        arsenic = "" if self.arsenical == "no" else f"{_is_there(self.arsenical)}: no machine sanding, its dust poisons"
        lead = dry_sanding_forbidden(self.lead, self.coat.test, extraction, self.region)
        return tuple(why for why in (self.no_work and f"{self.no_work}: no sanding", arsenic, lead) if why)

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
        label: str = "",
        severity: Severity = "stop",
        **params: Any,
    ) -> None:
        """Say why no machine may sand it, and what to do instead: a danger where none would have come to it anyway."""
        if self.arsenical != "no":
            test = "" if self.arsenical == "yes" else "Have it tested; until then "
            todo = f"{test}smooth it wet and by hand, and collect everything."
            message = (
                f"{label}{_is_there(self.arsenical).capitalize()}, so no machine sanding is planned. Its dust carries "
                f"arsenic and chromium. {todo[0].upper()}{todo[1:]}"
            )
            ledger.find("arsenic-not-sanded", severity, message, pointer=f"{at}/treatment", **params)
        if why := dry_sanding_forbidden(self.lead, self.coat.test, extraction, self.region):
            test = "" if self.lead == "yes" else "Have it tested; until then "
            todo = f"{test}work it wet and by hand, and collect everything."
            message = f"{label}{why[0].upper()}{why[1:]}. No machine sanding is planned. {todo[0].upper()}{todo[1:]}"
            ledger.find("lead-not-sanded", severity, message, pointer=f"{at}/old_coating", **params)
        elif self.lead != "no":
            note_licensed(self.lead, self.region, ledger, label)


def _is_there(arsenical: Suspicion) -> str:
    return "the wood holds arsenic" if arsenical == "yes" else "arsenic is not ruled out"


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


def note_found(found: Found, years: Years, ledger: Ledger, at: str = "", of: str = "", **params: Any) -> None:
    """Write down what was reported of wood, frame and coating, and what would settle what is open."""
    note_preservative(found.wood, years, ledger, at, of, **params)
    if found.frame is not None:
        note_frame(found.frame, years, ledger, f"{at}/frame")
    found.coat.note_test(found.region, ledger, at, of, today=years.today)
