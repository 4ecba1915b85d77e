"""How long work takes at a pace: by area, by length, by number.

A pace is what one person does in an hour; what is not known of it is carried as it stands, so that the slow end of a
pace becomes the long end of a time.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_SOURCE = "arithmetic: the meaning of a pace"


@formula(symbols="t = A/v", source=_SOURCE, holds="one person; setting up and walking are left out")
def time_by_area(
    area: Annotated[Number, Symbol("A", "m2")], pace: Annotated[Number, Symbol("v", "m2/h")]
) -> Annotated[Number, Symbol("t", "h")]:
    """Divide the area by the area done in an hour."""
    return area / pace


@formula(symbols="t = l/v", source=_SOURCE, holds="one person; setting up and walking are left out")
def time_by_length(
    length: Annotated[Number, Symbol("l", "m")], pace: Annotated[Number, Symbol("v", "m/h")]
) -> Annotated[Number, Symbol("t", "h")]:
    """Divide the length by the length done in an hour."""
    return length / pace


@formula(symbols="t = n/v", source=_SOURCE, holds="n as a percentage: 500 % is five; one person")
def time_by_count(
    count: Annotated[Number, Symbol("n", "%")], pace: Annotated[Number, Symbol("v", "1/h")]
) -> Annotated[Number, Symbol("t", "h")]:
    """Divide the number by how many are done in an hour."""
    return count / pace


@formula(
    symbols="v_1 = v_2/k",
    source="judgement: the gain of a larger pad lies between the ratio of widths and that of areas",
    where="for 150 beside 125 mm: 1.20 and 1.44",
    holds="round pads of one kind, same grade and pressure",
)
def smaller_pad_pace(
    larger: Annotated[Number, Symbol("v_2", "m2/h")], gain: Annotated[Number, Symbol("k", "%")]
) -> Annotated[Number, Symbol("v_1", "m2/h")]:
    """Divide the pace of the larger pad by what it gains over the smaller."""
    return larger / gain
