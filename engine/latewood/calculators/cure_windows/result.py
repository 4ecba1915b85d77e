"""What cure-windows answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.cure_windows.fields import (
    Answered,
    CureEvent,
    CureHour,
    CureMiss,
    CureWindow,
    HandOver,
    Proposal,
    RainRisk,
)
from latewood.declare import F, Q
from latewood.messages import Clause


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Whether and when, how sure that is, and what comes after."""

    verdict: Annotated[
        Answered,
        F("yes, conditional, at-risk or no: for the start to be judged, else for the best there is"),
    ]
    first: Annotated[tuple[Clause, ...], F("What must be read, repaired or done before the first coat")]
    text: Annotated[Clause, F("The answer in a sentence or two")]
    passing_time: Annotated[
        float, Q("h", "Time at which the weather of the hour passes, whatever comes before and after")
    ]
    passing_daylight: Annotated[float, Q("h", "The part of it in daylight")]
    longest_passing: Annotated[float, Q("h", "The longest run of it")]
    windows: Annotated[tuple[CureWindow, ...], F("Stretches of starts that work, the best first")]
    timeline: Annotated[tuple[CureEvent, ...], F("What happens when, from the start to be judged, else the best")]
    hand_over: Annotated[tuple[HandOver, ...], F("When the deck may be used, by the slow clock")]
    proposals: Annotated[
        tuple[Proposal, ...],
        F("Where no start works as asked, or starts within less than an hour: what opens a window, the cheapest first"),
    ]
    nearest: Annotated[CureMiss, F("Where nothing works: what comes nearest")] | None = None
    rain_risk: RainRisk | None = None
    hours: Annotated[tuple[CureHour, ...], F("The weather step by step, with the gates of coating")] | None = None
