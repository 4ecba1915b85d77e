"""What is done in and along the gaps: a choice, and how they are cleaned without blowing dust at people."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Any, Final, Literal

from latewood.calculators.abrasive_sequence.compute.gaps import gap_work
from latewood.calculators.abrasive_sequence.fields import GapTreatment, SandFace
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve.hazards import found_in
from latewood.calculators.abrasive_sequence.resolved import Gaps
from latewood.declare import RecordLookup
from latewood.messages import Code, Word, clause
from latewood.provenance import HERE, Ledger, Number, Severity
from latewood.rules.hazards import there, worst, years_of
from latewood.rules.hazards_found import Found
from latewood.rules.sanding_work.method import Method
from latewood.uncertainty import spread

#: What is done where nothing is asked for: dirt in gaps holds water, and sanding their faces costs many hours.
TREATMENT: Final[GapTreatment] = "clean-only"
#: A share of gaps that may well be packed where that was not looked at; judgement.
HALF: Final = 0.5


def gaps_of(x: Inputs, method: Method, known: RecordLookup, ledger: Ledger) -> list[Gaps]:
    """Return the gaps given, those treated alike together."""
    faces = [face for face in x.faces if face.part == "gap-faces"]
    if faces and x.gap_treatment is None and any(face.gap_treatment is None for face in faces):
        ledger.default("gap_treatment", TREATMENT, why=clause("gaps-cost-more"))
    if not all(face.length for face in faces):
        ledger.find("gap-length-missing", pointer="/faces")
    alike: dict[GapTreatment, list[SandFace]] = {}
    for face in faces:
        alike.setdefault(face.gap_treatment or x.gap_treatment or TREATMENT, []).append(face)
    found = [_gaps(x, treatment, own, method, known, ledger) for treatment, own in alike.items()]
    _assume(x, found, method, ledger)
    return found


def _assume(x: Inputs, found: Sequence[Gaps], method: Method, ledger: Ledger) -> None:
    """Write down what was assumed of the gaps, and what else would change the work on them."""
    profiled = [gaps for gaps in found if gaps.treatment == "machine-profile" and gaps.passes]
    cleaned = [gaps for gaps in found if gaps.treatment != "none"]

    def hours(of: str, among: Sequence[Gaps], other: Mapping[str, Any], value: Any) -> Number:
        """Return the work on all gaps, where those among which it makes a difference have another value."""
        there = [replace(gaps, **other) if gaps in among and value is not HERE else gaps for gaps in found]
        times = (getattr(gap_work(gaps, method, ledger.aside()), of) for gaps in there)
        return spread.total([time for time in times if time is not None])

    if x.gap_filled is None and profiled:
        by, why = partial(hours, "time", profiled, {"passes": 2}), clause("abrasive-fills-gap")
        ledger.default("gap_filled", "yes", others=(False,), by=by, output="gap-work", why=why)
    if x.packed_gaps is None and any(gaps.floor > 0 for gaps in cleaned):
        by, why = partial(hours, "cleaning_time", cleaned, {"packed": HALF}), clause("loose-dirt-only")
        ledger.default("packed_gaps", "none", others=(HALF,), by=by, output="gap-cleaning", why=why)


def _gaps(
    x: Inputs,
    treatment: GapTreatment,
    faces: Sequence[SandFace],
    method: Method,
    known: RecordLookup,
    ledger: Ledger,
) -> Gaps:
    zones = {face.zone for face in faces}
    # Dust of the faces beside a gap falls into it.
    years = years_of(x, known, ledger)
    hazards = [found_in(face, x, years, known) for face in x.faces if face.zone in zones]
    floor = math.fsum(f.area for f in x.faces if f.zone in zones and f.part in ("field", "perimeter"))
    prohibition_reason = [why for face in faces for why in found_in(face, x, years, known).not_sanded(x.extraction)]
    passes = 0 if prohibition_reason else _passes(x, treatment)
    if prohibition_reason and treatment not in ("none", "clean-only"):
        params = {"faces": [f"{zone}-gap-faces" for zone in sorted(zones)]}
        ledger.find("gaps-not-sanded", pointer="/gap_treatment", params=params, why=prohibition_reason[0])
    return Gaps(
        treatment=treatment,
        length=math.fsum(face.length or 0.0 for face in faces),
        passes=passes,
        cleaning=_cleaning(x, treatment, hazards, ledger),
        floor=floor,
        packed=None if treatment == "none" else _packed(x, floor, method, ledger),
        full_depth=not prohibition_reason and _full_depth(x, treatment, ledger),
    )


def _passes(x: Inputs, treatment: str) -> int:
    """Return runs along a gap: both edges apart, but where the tool fills the gap and serves both faces at once."""
    if treatment in ("none", "clean-only"):
        return 0
    if treatment == "hand":
        return 1
    if treatment == "ease-edges":
        return 2
    return 2 if x.gap_filled is False else 1


def _full_depth(x: Inputs, treatment: str, ledger: Ledger) -> bool:
    """Say whether faces are sanded to their full depth, an extra line; the default is what can be seen."""
    if x.gap_scope == "full-depth" and treatment in ("none", "clean-only"):
        ledger.find("gap-scope-without-work", pointer="/gap_scope", treatment=Code(treatment))
        return False
    return x.gap_scope == "full-depth"


def _packed(x: Inputs, floor: float, method: Method, ledger: Ledger) -> float | None:
    """Return the share of gaps that is packed; loose dirt is counted by floor, packed gaps by their length."""
    if floor <= 0:
        ledger.find("gap-floor-missing", pointer="/faces")
    elif x.packed_gaps is None:
        method.task("gaps", ledger)
    return x.packed_gaps


def _cleaning(
    x: Inputs, treatment: str, hazards: Sequence[Found], ledger: Ledger
) -> Literal["none", "blow", "rake-and-vacuum"]:
    """Blow only before any sanding, only where lead and arsenic are ruled out, and only with no one downwind."""
    if treatment == "none":
        return "none"
    ruled_out = all(one.arsenical == one.lead == "no" and not one.no_work for one in hazards)
    if ruled_out and x.downwind_clear:
        ledger.find("blow-before-sanding-only", pointer="/downwind_clear")
        return "blow"
    why = there(arsenic=worst(*(one.arsenical for one in hazards)), lead=worst(*(one.lead for one in hazards)))
    if why is None:
        shut = next((one for one in hazards if one.no_work is not None), None)
        why = clause("downwind-not-confirmed")
        if shut is not None:
            why = clause("wood-holds-treatment", treatment=Word("treatment", shut.wood.counted))
    severity: Severity = "note" if ruled_out else "warning"
    ledger.find("gaps-not-blown", severity, pointer="/downwind_clear" if ruled_out else "/treatment", why=why)
    return "rake-and-vacuum"
