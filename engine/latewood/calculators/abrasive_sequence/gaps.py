"""What is done in and along the gaps: a choice, and how they are cleaned without blowing dust at anybody."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal

from latewood.calculators.abrasive_sequence.answer import GapWork
from latewood.calculators.abrasive_sequence.fields import GapTreatment, SandFace
from latewood.calculators.abrasive_sequence.hazards import found_in
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.pace import rate_of
from latewood.declare import RecordLookup
from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.records import SandingPractice
from latewood.rules.hazards import there, worst, years_of
from latewood.rules.hazards_found import Found
from latewood.uncertainty.spread import Number

#: What is done where nothing is asked for: dirt in gaps holds water, and sanding their faces costs many hours.
TREATMENT: Final[GapTreatment] = "clean-only"


def gap_work(x: Inputs, practice: SandingPractice, ledger: Ledger, known: RecordLookup) -> tuple[GapWork, ...]:
    """Return the work on the gaps given, those treated alike together."""
    faces = [face for face in x.faces if face.part == "gap-faces"]
    if not faces:
        return ()
    if x.gap_treatment is None and any(face.gap_treatment is None for face in faces):
        ledger.default("gap_treatment", TREATMENT, effect=None, why="sanding gaps by hand costs more than the floor")
    if not all(face.length for face in faces):
        message = "Gap faces are given without the length of the gaps; work along those gaps is left out."
        ledger.find("gap-length-missing", "note", message, pointer="/faces")
    alike: dict[GapTreatment, list[SandFace]] = {}
    for face in faces:
        alike.setdefault(face.gap_treatment or x.gap_treatment or TREATMENT, []).append(face)
    return tuple(_work(x, treatment, own, practice, ledger, known) for treatment, own in alike.items())


def _work(
    x: Inputs,
    treatment: GapTreatment,
    faces: Sequence[SandFace],
    practice: SandingPractice,
    ledger: Ledger,
    known: RecordLookup,
) -> GapWork:
    length = math.fsum(face.length or 0.0 for face in faces)
    zones = {face.zone for face in faces}
    # Dust of the faces beside a gap falls into it.
    years = years_of(x, known, ledger)
    hazards = [found_in(face, x, years, known) for face in x.faces if face.zone in zones]
    floor = math.fsum(f.area for f in x.faces if f.zone in zones and f.part in ("field", "perimeter"))
    prohibition_reason = [why for face in faces for why in found_in(face, x, years, known).not_sanded(x.extraction)]
    passes = 0 if prohibition_reason else _passes(x, treatment, ledger)
    if prohibition_reason and treatment not in ("none", "clean-only"):
        why = prohibition_reason[0]
        message = f"Gap faces are cleaned and not sanded: {why}. Have it settled before their edges are worked."
        ledger.find(
            "gaps-not-sanded",
            "stop",
            message,
            pointer="/gap_treatment",
            faces=[f"{zone}-gap-faces" for zone in sorted(zones)],
        )
    return GapWork(
        id=treatment,
        cleaning=_cleaning(x, treatment, hazards, ledger),
        length=length,
        passes=passes,
        cleaning_time=None if treatment == "none" else _cleaning_time(x, length, floor, practice, ledger, known),
        time=_along(length * passes, treatment, practice, ledger, known) if passes else None,
        full_depth_time=None if prohibition_reason else _full_depth(x, length, treatment, practice, ledger, known),
    )


def _passes(x: Inputs, treatment: str, ledger: Ledger) -> int:
    """Return runs along a gap: both edges apart, but where the tool fills the gap and serves both faces at once."""
    if treatment in ("none", "clean-only"):
        return 0
    if treatment == "hand":
        return 1
    if treatment == "ease-edges":
        return 2
    if x.gap_filled is None:
        ledger.default("gap_filled", "yes", effect=1.0, why="a folded abrasive fills a gap of a few millimetres")
    return 2 if x.gap_filled is False else 1


def _along(length: float, treatment: str, practice: SandingPractice, ledger: Ledger, known: RecordLookup) -> Number:
    rate = rate_of(practice, treatment, ledger, known)
    return ledger.step(pace.time_by_length, f"gaps, {treatment}", length=length, pace=rate)


def _full_depth(
    x: Inputs, length: float, treatment: str, practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return the extra line for faces sanded to their full depth; the default is what can be seen."""
    if x.gap_scope != "full-depth":
        return None
    if treatment in ("none", "clean-only"):
        message = f"Gap faces are left as they are ({treatment}), so their full depth is not sanded."
        ledger.find("gap-scope-without-work", "note", message, pointer="/gap_scope")
        return None
    return _along(length, "hand", practice, ledger, known)


def _cleaning(
    x: Inputs, treatment: str, hazards: Sequence[Found], ledger: Ledger
) -> Literal["none", "blow", "rake-and-vacuum"]:
    """Blow only before any sanding, only where lead and arsenic are ruled out, and only with nobody downwind."""
    if treatment == "none":
        return "none"
    ruled_out = all(one.arsenical == one.lead == "no" and not one.no_work for one in hazards)
    if ruled_out and x.downwind_clear:
        message = (
            "Gaps may be blown out, and only before any sanding; after it by vacuum alone. An extractor that holds "
            "fine dust is never used as a blower."
        )
        ledger.find("blow-before-sanding-only", "note", message, pointer="/downwind_clear")
        return "blow"
    feared = there(
        arsenic=worst(*(one.arsenical for one in hazards)), lead=worst(*(one.lead for one in hazards))
    ) or next((f"the wood holds {one.wood.counted}" for one in hazards if one.no_work), "")
    why = feared or "nobody said that no one stands downwind"
    message = f"Gaps are raked and vacuumed (HEPA), not blown out: {why}."
    severity = "note" if ruled_out else "warning"
    ledger.find("gaps-not-blown", severity, message, pointer="/downwind_clear" if ruled_out else "/treatment")  # type: ignore[arg-type]  # one of the two words
    return "rake-and-vacuum"


def _cleaning_time(
    x: Inputs, length: float, floor: float, practice: SandingPractice, ledger: Ledger, known: RecordLookup
) -> Number | None:
    """Return the time for loose dirt by floor area, and for packed gaps by their length."""
    if floor <= 0:
        message = "Loose dirt is counted by floor, and no floor is given beside these gaps; its time is left out."
        ledger.find("gap-floor-missing", "note", message, pointer="/faces")
        return _along(length * x.packed_gaps, "rake", practice, ledger, known) if x.packed_gaps else None
    rate = rate_of(practice, "gaps", ledger, known)
    time = ledger.step(pace.time_by_area, "gaps, loose dirt", area=floor, pace=rate)
    if x.packed_gaps is None:
        ledger.default("packed_gaps", "none", effect=1.0, why="loose dirt only; packed gaps are raked by hand")
        return time
    return time + _along(length * x.packed_gaps, "rake", practice, ledger, known)
