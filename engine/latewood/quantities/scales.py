"""From a known unit to SI and back, by the generated factors."""

from __future__ import annotations

import math

from latewood.quantities.factors import FACTORS
from latewood.quantities.refusals import UnitError
from latewood.quantities.spellings import DIMENSIONS

Scale = tuple[float, float, float]

#: By dimension and accepted spelling. A unit not yet generated is left out, so that the generator itself can start;
#: the test that generates the table again finds the gap.
SCALES: dict[str, dict[str, Scale]] = {
    dimension.id: {
        text: FACTORS[dimension.id][unit]
        for text, unit in dimension.canonical.items()
        if unit in FACTORS.get(dimension.id, {})
    }
    for dimension in DIMENSIONS.values()
}


def to_si(value: float, unit: str, dimension: str) -> float:
    """Return ``value`` of a known unit in SI; KeyError for a unit the dimension does not have."""
    numerator, addend, denominator = SCALES[dimension][unit]
    return (value * numerator + addend) / denominator


def show(si: float, unit: str, dimension: str) -> float:
    """Return an SI value in a unit, to nine significant digits.

    Raises `UnitError` where it is not finite: an answer says null and adds a finding instead.
    """
    numerator, addend, denominator = SCALES[dimension][unit]
    shown = (si * denominator - addend) / numerator
    if not math.isfinite(shown):
        raise UnitError("cannot-be-shown", unit=unit)
    return float(f"{shown:.9g}") + 0.0
