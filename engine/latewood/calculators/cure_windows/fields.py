"""Parts of what cure-windows takes and answers."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Final, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import Coating
from latewood.rules.wiping import SheetColdest, SheetHottest, SheetLongestWipe, SheetRegime, SheetSecondCoat, SheetWipe
from latewood.uncertainty.spread import Number

Kind = Literal["clean", "sand", "coat"]
Verdict = Literal["yes", "at-risk", "no"]
#: Of the whole answer: also where something must be read, repaired or done before the first coat.
Answered = Literal["yes", "conditional", "at-risk", "no"]
#: What is changed to open a window.
ProposalKind = Literal[
    "another-start", "earlier-hours", "later-hours", "shade", "smaller-parts", "another-finish", "more-people"
]
Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]

#: A span of kelvins, not a temperature.
DIFFERENCE: Final = "temperature-difference"

#: A time of day as clocks show it; a day ends at 24:00.
CLOCK = r"^(?:(?:[01][0-9]|2[0-3]):[0-5][0-9]|24:00)$"


class CureProduct(msgspec.Struct, frozen=True, kw_only=True):
    """What the product's data sheet says of weather and curing; whatever is given here overrides the family."""

    coldest: SheetColdest | None = None
    hottest: SheetHottest | None = None
    highest_humidity: (
        Annotated[float, Q("%", "Highest relative humidity of the air", ge=1, le=100, example="85 %")] | None
    ) = None
    dew_point_spread: (
        Annotated[float, Q("K", "Least height above the dew point", ge=0, le=20, example="3 K", dimension=DIFFERENCE)]
        | None
    ) = None
    highest_wind: Annotated[float, Q("m/s", "Strongest wind", ge=0, le=80, example="15 mph")] | None = None
    dry_before: Annotated[float, Q("h", "Time without rain before coating", ge=0, le=240, example="24 h")] | None = None
    hold: (
        Annotated[float, Q("h", "Time after coating over which a temperature is kept", ge=0, le=240, example="24 h")]
        | None
    ) = None
    hold_coldest: (
        Annotated[float, Q("degC", "Lowest air temperature in that time", ge=-20, le=40, example="10 degC")] | None
    ) = None
    cool_for: Annotated[float, Q("h", "Time after coating without hot boards", ge=0, le=48, example="3 h")] | None = (
        None
    )
    rain_safe: (
        Annotated[Number, Q("h", "Until rain does no harm", ge=0, le=1000, example="12 h", uncertain=True)] | None
    ) = None
    next_coat: (
        Annotated[Number, Q("h", "Until the next coat may go on", ge=0, le=1000, example="2-4 h", uncertain=True)]
        | None
    ) = None
    walk: (
        Annotated[Number, Q("h", "Until it may be walked on", ge=0, le=1000, example="12-15 h", uncertain=True)] | None
    ) = None
    furniture: (
        Annotated[Number, Q("h", "Until furniture goes back", ge=0, le=2000, example="24-48 h", uncertain=True)] | None
    ) = None
    covers: (
        Annotated[
            Number, Q("h", "Until mats, pots and covers go back", ge=0, le=5000, example="168-336 h", uncertain=True)
        ]
        | None
    ) = None
    full_cure: (
        Annotated[Number, Q("h", "Until it has cured through", ge=0, le=10000, example="336-720 h", uncertain=True)]
        | None
    ) = None
    regime: SheetRegime | None = None
    second_coat: SheetSecondCoat | None = None
    wipe: SheetWipe | None = None
    longest_wipe: SheetLongestWipe | None = None
    bare_open: (
        Annotated[float, Q("h", "Longest time between sanding and coating", ge=0, le=1000, example="36 h")] | None
    ) = None


class WorkStep(msgspec.Struct, frozen=True, kw_only=True):
    """One piece of the work, in the order of the list."""

    id: Annotated[str, F("Name of the step", pattern=r"^[a-z][a-z0-9-]{0,39}$", example="coat-1")]
    kind: Annotated[Kind, F("What is done, which decides the gates")]
    duration: Annotated[float, Q("h", "Working time it takes", ge=0.05, le=400, example="3 h")]
    wait: (
        Annotated[
            float,
            Q("h", "Time to leave before the next step, such as drying after a wash", ge=0, le=2000, example="24 h"),
        ]
        | None
    ) = None


class ShadeSpell(msgspec.Struct, frozen=True, kw_only=True):
    """A time of day in which something keeps the sun off the boards."""

    comes: Annotated[str, F("When shade comes, by local clocks", pattern=CLOCK, example="14:00")]
    goes: Annotated[str, F("When it goes", pattern=CLOCK, example="18:00")]
    share: Annotated[
        float, Q("%", "Share of the beam that is kept off; all of it in full shade", ge=0, le=100, example="100 %")
    ]


class WorkShift(msgspec.Struct, frozen=True, kw_only=True):
    """When people work."""

    opens: Annotated[str, F("Start of the working day, by local clocks", pattern=CLOCK, example="08:00")] = "07:00"
    closes: Annotated[str, F("End of the working day", pattern=CLOCK, example="18:00")] = "19:00"
    days_off: Annotated[tuple[Weekday, ...], F("Days on which nobody works", max_items=7)] = ()
    daylight_only: Annotated[bool, F("Whether work stops when the sun is down")] = True


class CureWindow(msgspec.Struct, frozen=True, kw_only=True):
    """A stretch of starts that all lead to a finished job."""

    id: Annotated[str, F("Place in the ranking, from 1")]
    verdict: Annotated[Verdict, F("yes, or at-risk where a likely error of the forecast closes it")]
    starts: Annotated[datetime, F("Earliest start")]
    latest_start: Annotated[datetime, F("Latest start")]
    best_start: Annotated[datetime, F("The start that is furthest inside all gates")]
    ends: Annotated[datetime, F("End of the last coat, from the best start")]
    tightest_gate: Annotated[str, F("The gate it comes closest to")]
    tightest: Annotated[Clause, F("How close, in words")]
    margins: Annotated[tuple[Clause, ...], F("How far inside each gate the first coat lies, the closest first")]
    breaks: Annotated[
        tuple[str, ...],
        F("Errors of the forecast that close it, colder, warmer, damper, wetter, and what it leaves unsaid"),
    ]
    warmest_boards: Annotated[float, Q("degC", "The warmest the boards get from its best start to its end")] | None = (
        None
    )


class ProposedShift(WorkShift, frozen=True, kw_only=True):
    """When people work, as it is proposed."""


class ProposedShade(ShadeSpell, frozen=True, kw_only=True):
    """A time of day in shade, as it is proposed or was asked for."""


class ProposedStep(WorkStep, frozen=True, kw_only=True):
    """One piece of the work, as it is proposed."""


class ProposedChange(msgspec.Struct, frozen=True, kw_only=True):
    """Fields to put into the request in place of its own."""

    start: Annotated[datetime, F("The start to be judged instead")] | None = None
    shift: Annotated[ProposedShift, F("When people work instead")] | None = None
    shade: Annotated[tuple[ProposedShade, ...], F("Times of day in which the boards lie in shade instead")] | None = (
        None
    )
    laying_time: Annotated[float, Q("h", "Working time of one coat instead")] | None = None
    steps: Annotated[tuple[ProposedStep, ...], F("The work in its order instead")] | None = None
    coating: Annotated[Coating, F("Coating family instead, without the data sheet of the other")] | None = None


class Proposal(msgspec.Struct, frozen=True, kw_only=True):
    """A change that opens a window, found by looking again with it."""

    id: Annotated[str, F("Name of the proposal: its kind, and the finish where it is another")]
    kind: Annotated[ProposalKind, F("What is changed")]
    text: Annotated[Clause, F("What to do, and when the work then fits")]
    change: Annotated[ProposedChange, F("What to ask instead")]
    window: Annotated[CureWindow, F("The window it opens")]
    last_end: Annotated[datetime, F("End of the last coat, from the latest start")]
    opens_for: Annotated[float, Q("h", "Time from the earliest start to the end of the last coat from the latest")]
    floor_parts: Annotated[int, F("Parts the floor is divided into, each with a window of its own")] | None = None
    parts_fitting: Annotated[int, F("How many of these parts the weather given has room for")] | None = None
    crews: Annotated[int, F("How many times the people that were asked for")] | None = None


class CureEvent(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the time line."""

    id: Annotated[str, F("What it is")]
    starts: Annotated[datetime, F("When it starts, or not before")]
    ends: Annotated[datetime, F("When it ends, or not after")] | None = None
    text: Annotated[Clause, F("The same in words")]


class HandOver(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the hand-over sheet, by the slow clock."""

    id: Annotated[str, F("rain-safe, walk, furniture, covers or full-cure")]
    after: Annotated[float, Q("h", "Time from the end of the last coat, by the slow clock and the longer figure")]
    after_least: Annotated[float, Q("h", "The same by the shorter figure")]
    at: Annotated[datetime, F("When that is")]
    estimated: Annotated[bool, F("Whether it lies beyond the weather given, which was taken to go on as it is")]
    text: Annotated[Clause, F("The line as it is handed over")]


class RainRisk(msgspec.Struct, frozen=True, kw_only=True):
    """How likely rain is from the first coat until the last is safe from it, where chances are for whole days."""

    starts: Annotated[datetime, F("When the first coat begins")]
    ends: Annotated[datetime, F("When the last coat is safe from rain, or the weather ends")]
    chance: Annotated[float, Q("%", "Chance of rain in between, spread evenly over each day")]
    chance_least: Annotated[float, Q("%", "The same if each rainy day has one short shower, at any time of it")]
    chance_most: Annotated[float, Q("%", "The same if all rain of a day falls in just these hours")]


class CureMiss(msgspec.Struct, frozen=True, kw_only=True):
    """The start that comes nearest to working, where none does."""

    stopped: Annotated[str, F("The step that cannot be done")]
    starts: Annotated[datetime, F("When it would start")] | None = None
    gates: Annotated[tuple[str, ...], F("The gates that stop it")]
    text: Annotated[Clause, F("What stops it, and by how much")]


class CureHour(msgspec.Struct, frozen=True, kw_only=True):
    """One step of the weather: what the boards are like, and which gates of coating stop work that starts in it."""

    id: Annotated[str, F("When the step begins, by local clocks")]
    passing: Annotated[bool, F("Whether every gate passes")]
    failed: Annotated[tuple[str, ...], F("Gates that fail")]
    unknown: Annotated[tuple[str, ...], F("Gates of which the weather does not tell")]
    surface_temperature: Annotated[float, Q("degC", "Temperature of the boards' face")]
    dew_point_spread: Annotated[float, Q("K", "The boards above the dew point", dimension=DIFFERENCE)]
    cure_rate: Annotated[float, Q("%", "Speed of the slow clock, 100 % at 23 °C and 50 %")]
