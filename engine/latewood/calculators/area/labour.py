"""What counts for labour, by a rule of measurement that is a named choice."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import LabourAllowance
from latewood.rules.faces import Part, Side
from latewood.uncertainty import spread

#: The rule that takes each part's allowance from the source that says most about it.
DEFAULT: Final = "by-part"


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


def choose(
    given: LabourAllowance | None, faces: Iterable[Measured], ledger: Ledger, known: RecordLookup
) -> LabourAllowance | None:
    """Return the rule to measure by; where none was asked for, say what another would change."""
    if given is not None:
        return given
    rules = known.records("labour-allowance")
    chosen: LabourAllowance | None = rules.get(DEFAULT)
    faces = list(faces)
    touched = [face for face in faces if chosen is not None and _says(chosen, face)]
    if chosen is not None and touched:
        own = sum(_area(chosen, face) for face in faces)
        others = [sum(_area(rule, face) for face in faces) for rule in rules.values()]
        effect = max((abs(other - own) / own for other in others), default=0.0)
        why = "published rules differ; each part goes by the source that says most about it"
        ledger.default("labour_allowance", DEFAULT, effect=effect, why=why)
    return chosen


def for_labour(rule: LabourAllowance | None, face: Measured, ledger: Ledger) -> float:
    """Return the area that counts for labour; what no rule speaks of counts as its material."""
    if rule is None:
        return face.area
    if face.one_side is not None and face.part in rule.factors:
        ledger.take(rule.factors[face.part])
    if face.width is not None and face.part in rule.least_widths:
        ledger.take(rule.least_widths[face.part])
    return _area(rule, face)


def _says(rule: LabourAllowance, face: Measured) -> bool:
    return (face.one_side is not None and face.part in rule.factors) or (
        face.width is not None and face.part in rule.least_widths
    )


def _area(rule: LabourAllowance, face: Measured) -> float:
    if face.one_side is not None and face.part in rule.factors:
        return spread.value(rule.factors[face.part].number) * face.one_side
    if face.width and face.one_side is not None and face.part in rule.least_widths:
        least = spread.value(rule.least_widths[face.part].number)
        return max(face.area, face.one_side * least / face.width)
    return face.area
