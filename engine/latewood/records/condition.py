"""Where refinishing ends and repair begins: thresholds, each with what it rests on."""

from __future__ import annotations

from typing import Annotated, ClassVar

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N


class ConditionRule(Record, frozen=True, kw_only=True):
    """One set of thresholds. Practitioners differ, so an answer names the set it went by."""

    KIND: ClassVar[str] = "condition-rule"

    replace_share: Annotated[Sourced, N("%", "Damaged boards from which all are replaced", least=1, most=100)]
    decay_moisture: Annotated[Sourced, N("%", "Moisture content from which wood decays", least=15, most=40)]
    trap_gap: Annotated[Sourced, N("mm", "Gap or joint that stays wet, and anything narrower", most=20)]
    deep_check: Annotated[Sourced, N("mm", "Depth of a check that does not dry out", least=1, most=60)]
    furrow: Annotated[Sourced, N("mm", "Furrow deeper than anybody sands out", least=0.2, most=20)]
    cup: Annotated[Sourced, N("mm", "Hollow of a cupped board that no sander takes out", least=0.2, most=30)]
    cover: Annotated[Sourced, N("mm", "Least wood left above the heads of fasteners", most=20)]
    blending: Annotated[Sourced, N("week", "Time until a new board looks like the old ones", least=1, most=520)]
    notes: tuple[str, ...] = ()
