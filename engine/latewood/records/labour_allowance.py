"""Allowances by which a part is measured for labour, beside its material."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar

from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N

#: The parts that rules of measurement speak of.
MEASURED = ("stair", "guard", "fascia", "skirting", "lattice", "bench", "post")


class LabourAllowance(Record, frozen=True, kw_only=True):
    """A rule of measurement: what counts for labour where small members take more time than their area says."""

    KIND: ClassVar[str] = "labour-allowance"

    factors: Annotated[
        Mapping[str, Sourced],
        N(None, "Times the overall area of one side, openings not deducted", keys=(MEASURED,), least=0.1, most=20),
    ]
    least_widths: Annotated[
        Mapping[str, Sourced], N("mm", "Narrower members count as this wide", keys=(MEASURED,), least=1, most=2000)
    ] = {}
    notes: tuple[str, ...] = ()
