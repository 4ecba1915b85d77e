"""What people are asked about preservatives, the frame and lead: each meaning is declared here once."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Any, Final, Literal

import msgspec

from latewood.declare import F
from latewood.messages import Code, refusal
from latewood.problems import Fault
from latewood.records import Coating, Species
from latewood.records.base import Material, Treatment
from latewood.rules.days import ahead

Old = Coating | Literal["none"]
Proof = Literal["end-tag", "test", "owner-says"]
LeadTest = Literal["none-found", "found", "not-tested"]
LeadMethod = Literal["laboratory", "xrf", "spot-kit"]
FrameMaterial = Literal["wood", "metal"]

OldCoating = Annotated[Old, F("Coating on it now: a family id, none or unknown", example="none")]
Preservative = Annotated[Treatment, F("Preservative in the wood; unknown if left out")]
Carriers = Annotated[bool, F("Whether posts belong to the guard, or stringers to the stair; so if left out")]
MadeOf = Annotated[Material, F("What it is made of; wood if left out")]
PreservativeProof = Annotated[
    Proof, F("How the preservative is known; a stated copper or none of a softwood needs an end tag or a test")
]
LeadTested = Annotated[LeadTest, F("Result of a lead test of the old coating; not tested if left out")]
LeadTestedBy = Annotated[LeadMethod, F("How the old coating was tested for lead")]
LeadTestedOn = Annotated[date, F("Day of the lead test", example="2026-04-20")]
WallLeadTested = Annotated[LeadTest, F("Result of a lead test of walls and trim; not tested if left out")]
WallLeadTestedBy = Annotated[LeadMethod, F("How walls and trim were tested for lead")]
WallLeadTestedOn = Annotated[date, F("Day of the lead test of walls and trim", example="2026-04-20")]


#: Names of the fields that say how a preservative is known, and what a lead test found.
PROOFS: Final = ("treatment_evidence",)
LEAD_TESTS: Final = ("lead_test", "lead_test_method", "lead_test_date")


class Frame(msgspec.Struct, frozen=True, kw_only=True):
    """What carries the floor: ledger, joists, beams and posts. Dust and rinse water reach it."""

    material: Annotated[FrameMaterial, F("What the frame is made of; wood if left out")] | None = None
    species: (
        Annotated[Species, F("Wood of the frame; a softwood if left out", example="southern-yellow-pine")] | None
    ) = None
    treatment: Annotated[Treatment, F("Preservative in the frame; unknown if left out")] | None = None
    treatment_evidence: PreservativeProof | None = None


def handed_on(one: Any) -> dict[str, Any]:
    """Return what is said of preservative and lead, for a calculator that asks it in the same words."""
    return {name: getattr(one, name) for name in ("treatment", *PROOFS, *LEAD_TESTS)}


def lead_test_faults(x: Any, at: str = "", of: str = "", *, today: date | None) -> Iterator[Fault]:
    """Find a method or day without a test, and a test of a day still to come. ``of`` begins the names of the fields."""
    result, method, day = (getattr(x, of + name) for name in LEAD_TESTS)
    for name, value in ((f"{of}lead_test_method", method), (f"{of}lead_test_date", day)):
        if value is None or result in ("none-found", "found"):
            continue
        id = "lead-detail-untested" if result == "not-tested" else "lead-detail-without-test"
        yield refusal(id, f"{at}/{of}lead_test", field=Code(name))
    yield from ahead(day, today, f"{at}/{of}lead_test_date", "test")


def not_wood_faults(x: Any, at: str = "") -> Iterator[Fault]:
    """Find a preservative in what is not of wood: it may be in something else, so it is neither counted nor let go."""
    if getattr(x, "material", None) in (None, "wood") or x.treatment in (None, "none"):
        return
    yield refusal("preservative-not-in-wood", f"{at}/treatment", material=Code(x.material))


def proof_faults(x: Any, at: str = "") -> Iterator[Fault]:
    """Find a proof of nothing: no preservative is named, or an unknown one, or it is not of wood."""
    if not_wood := list(not_wood_faults(x, at)):
        yield from not_wood
        return
    if x.treatment_evidence is None or x.treatment not in (None, "unknown"):
        return
    id = "proof-of-unknown" if x.treatment == "unknown" else "proof-without-preservative"
    yield refusal(id, f"{at}/treatment")


def frame_faults(frame: Frame | None, at: str = "") -> Iterator[Fault]:
    """Find a proof of nothing, and wood or preservative of a metal frame."""
    if frame is None:
        return
    if frame.material != "metal":
        yield from proof_faults(frame, at)
        return
    for name in ("species", "treatment", "treatment_evidence"):
        if getattr(frame, name) is not None:
            yield refusal("metal-frame-has-no-wood", f"{at}/{name}", field=Code(name))
