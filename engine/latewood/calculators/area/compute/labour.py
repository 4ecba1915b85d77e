"""What counts for labour, by a rule of measurement that is a named choice."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.provenance import Ledger
from latewood.records import LabourAllowance
from latewood.rules.faces import Part, Side
from latewood.uncertainty import spread


@dataclass(frozen=True)
class Measured:
    """One face as measured: its material, one side of it overall, and how wide its members are.

    A ``side`` that is measured apart has no one side of its own: rules of labour have it in that of its part.
    """

    zone: str
    part: Part
    area: float
    item: str | None = None
    one_side: float | None = None
    width: float | None = None
    length: float | None = None
    count: int | None = None
    side: Side | None = None


def for_labour(rule: LabourAllowance | None, face: Measured, ledger: Ledger) -> float:
    """Return the area that counts for labour; what no rule speaks of counts as its material."""
    if rule is None:
        return face.area
    if face.one_side is not None and face.part in rule.factors:
        ledger.take(rule.factors[face.part])
    if face.width is not None and face.part in rule.least_widths:
        ledger.take(rule.least_widths[face.part])
    return area_by(rule, face)


def measures(rule: LabourAllowance, face: Measured) -> bool:
    """Say whether a rule speaks of a face."""
    return (face.one_side is not None and face.part in rule.factors) or (
        face.width is not None and face.part in rule.least_widths
    )


def area_by(rule: LabourAllowance, face: Measured) -> float:
    """Return the area of a face by a rule."""
    if face.one_side is not None and face.part in rule.factors:
        return spread.value(rule.factors[face.part].number) * face.one_side
    if face.width and face.one_side is not None and face.part in rule.least_widths:
        least = spread.value(rule.least_widths[face.part].number)
        return max(face.area, face.one_side * least / face.width)
    return face.area
