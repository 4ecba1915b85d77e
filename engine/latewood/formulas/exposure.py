"""What work does to the person who does it: vibration at the hand over a day."""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

#: The day that limits of vibration are stated over (s): 8 h, by the meaning of A(8).
DAY = 8 * 3600.0


@formula(
    symbols="A = a·√(t/8 h)",
    source="Directive 2002/44/EC, annex; Health and Safety Executive, exposure points",
    where="daily exposure A(8) of one tool; those of several add up as squares",
    holds="time with the hand on the running tool; work at it is longer",
)
def daily_vibration(
    vibration: Annotated[Number, Symbol("a", "m/s2")], time: Annotated[float, Symbol("t", "h")]
) -> Annotated[Number, Symbol("A", "m/s2")]:
    """Spread the vibration of a tool over a day of 8 h."""
    share: float = (time / DAY) ** 0.5
    return vibration * share
