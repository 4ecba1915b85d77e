"""What abrasive-sequence goes by, once everything that was left out is put in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from latewood.calculators.abrasive_sequence.fields import GapTreatment
from latewood.messages import Clause
from latewood.records.machine import Risk
from latewood.rules.hazards_found import Found
from latewood.rules.sanding_work.method import Method, SandedFace


@dataclass(frozen=True)
class Refusal:
    """Why no machine sands a face: a hazard or a sign, a machine that must not go over it, or grooves."""

    by: Literal["hazard", "sign", "unsuited", "risk", "grooved"]
    why: tuple[Clause, ...] = ()
    risks: tuple[Risk, ...] = ()


@dataclass(frozen=True)
class Gaps:
    """Gaps that are treated alike: their length, runs along each, how they are cleaned, and the floor they lie in."""

    treatment: GapTreatment
    length: float
    passes: int
    cleaning: Literal["none", "blow", "rake-and-vacuum"]
    floor: float
    packed: float | None
    full_depth: bool


@dataclass(frozen=True)
class Resolved:
    """The faces in the order their sequences are found in, the practice, hazards and what refuses a face."""

    faces: tuple[SandedFace, ...]
    method: Method
    hazards: Mapping[str, Found]
    refusals: Mapping[str, Refusal]
    confidence: float
