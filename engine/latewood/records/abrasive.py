"""Grades of abrasive, each by the size of its grain: a number on the back means nothing without its system."""

from __future__ import annotations

import re
from typing import Annotated, ClassVar, Literal

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N

System = Literal["fepa-p", "cami", "jis", "other"]


class Abrasive(Record, frozen=True, kw_only=True):
    """One grade of coated abrasive in one system."""

    KIND: ClassVar[str] = "abrasive"

    system: Annotated[System, "Who defines the grade; other is a maker's own, known by its grain size"]
    grade: Annotated[str, "As printed on the back, such as P80"]
    grain_size: Annotated[
        Sourced,
        N(
            "um",
            "Mean or median grain size: a label, not the largest grain, for a grade is a mixture",
            least=0.1,
            most=5e3,
        ),
    ]

    @property
    def loose_names(self) -> tuple[str, ...]:
        """What people say for it that also means grades of other systems: the bare number, and the F of wheels."""
        number = re.search(r"[0-9]+$", self.grade)
        return () if number is None else (number[0], f"F{number[0]}", f"{number[0]} grit", f"grit {number[0]}")
