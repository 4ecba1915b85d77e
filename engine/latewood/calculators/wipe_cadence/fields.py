"""Parts of what wipe-cadence takes and answers."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.rules.faces import ID
from latewood.rules.wiping import SheetColdest, SheetHottest, SheetLongestWipe, SheetRegime, SheetSecondCoat, SheetWipe
from latewood.uncertainty.spread import Number

Verdict = Literal["yes", "at-risk", "no"]
Limit = Literal["reach", "deadline", "deck", "asked"]
Stop = Literal["natural-break", "full-board", "end"]

#: Where one gets off a run that leads to no other.
EXIT = "exit"


#: Fields that a job asks for in the same words and bounds as the calculator it hands them to.
Appliers = Annotated[int, F("People who lay", ge=1, le=50, example=1)]
Wipers = Annotated[int, F("People who only wipe; without any those who lay turn and wipe", ge=0, le=50, example=1)]
Cutters = Annotated[int, F("People who only cut in; without any those who lay cut in", ge=0, le=50, example=1)]
LayingPace = Annotated[
    Number, Q("m2/h", "Area one person lays in an hour", ge=0.5, le=500, example="14-40 m2/h", uncertain=True)
]
WipingPace = Annotated[
    Number, Q("m2/h", "Area one person wipes in an hour", ge=0.5, le=500, example="20-60 m2/h", uncertain=True)
]
EdgePace = Annotated[
    Number, Q("m/h", "Edge one person cuts in in an hour", ge=0.5, le=1000, example="20-60 m/h", uncertain=True)
]
ArmReach = Annotated[float, Q("m", "Width of wet boards somebody reaches across", ge=0.1, le=5, example="0.9 m")]


class CadenceProduct(msgspec.Struct, frozen=True, kw_only=True):
    """What the product's data sheet says of wiping; whatever is given here overrides the family."""

    regime: SheetRegime | None = None
    wipe: SheetWipe | None = None
    longest_wipe: SheetLongestWipe | None = None
    second_coat: SheetSecondCoat | None = None
    coldest: SheetColdest | None = None
    hottest: SheetHottest | None = None


class CadenceRun(msgspec.Struct, frozen=True, kw_only=True):
    """Courses side by side, all of one length, between natural breaks at their ends."""

    id: Annotated[str, F("Name of the run", pattern=ID, example="main")]
    course_length: Annotated[float, Q("m", "Length of a course, from end to end", ge=0.1, le=100, example="16 ft")]
    pitch: Annotated[float, Q("mm", "From one board to the next: board and gap", ge=50, le=600, example="143 mm")]
    courses: Annotated[int, F("Courses of the run", ge=1, le=400, example=27)]
    edge_length: (
        Annotated[
            float,
            Q("m", "Edge work of the run, which is spread over its courses", ge=0, le=1000, example="24 ft"),
        ]
        | None
    ) = None
    first_edge: Annotated[float, Q("m", "Edge work along the first course", ge=0, le=200, example="16 ft")] | None = (
        None
    )
    last_edge: Annotated[float, Q("m", "Edge work along the last course", ge=0, le=200, example="16 ft")] | None = None
    break_after: Annotated[
        tuple[Annotated[int, F("Number of a course", ge=1, le=400, example=9)], ...],
        F("Courses after which a natural break lies, such as a corner, a door or a border board", max_items=100),
    ] = ()
    exit_course: (
        Annotated[int, F("Course over which one gets off; the last if left out", ge=1, le=400, example=27)] | None
    ) = None
    leads_to: (
        Annotated[
            str,
            F("Run one gets off to, or exit; the next run, and exit from the last, if left out", pattern=ID),
        ]
        | None
    ) = None


class CadenceRunRow(msgspec.Struct, frozen=True, kw_only=True):
    """One run of the answer, at the typical pace."""

    id: Annotated[str, F("Name of the run")]
    courses_per_band: Annotated[int, F("Courses of the widest band")]
    most_courses: Annotated[int, F("Courses a band may have, also if the crew turns out slow; 0 if none")]
    typical_courses: Annotated[int, F("Courses a band may have, if the crew keeps the typical pace")]
    limited_by: Annotated[Limit, F("What keeps a band from being wider")]
    band_count: Annotated[int, F("How many bands")]
    band_area: Annotated[float, Q("m2", "Area of a full band")]
    laying_time: Annotated[float, Q("min", "To lay one coat on a full band, cutting in apart")]
    edge_time: Annotated[float, Q("min", "To cut in along a band, on average")]
    wiping_time: Annotated[float, Q("min", "Work of wiping a full band")]
    band_time: Annotated[float, Q("min", "From one band to the next, on average")]
    duration: Annotated[float, Q("min", "From the first stroke on the run until it is wiped")]


class CadenceBand(msgspec.Struct, frozen=True, kw_only=True):
    """One band, in minutes from the first stroke of all, at the typical pace."""

    id: Annotated[str, F("Run and place in its order")]
    run: Annotated[str, F("Run it belongs to")]
    first_course: Annotated[int, F("Course it begins with")]
    last_course: Annotated[int, F("Course it stops at, always a full board")]
    stop: Annotated[Stop, F("Why there: a natural break, a full board, or the end of the way")]
    edge_length: Annotated[float, Q("m", "Edge work cut in with it")]
    begins: Annotated[float, Q("min", "First stroke, cutting in counted")]
    laid_by: Annotated[float, Q("min", "Last coat on")]
    wiping_begins: Annotated[float, Q("min", "First cloth")]
    wiped: Annotated[float, Q("min", "All excess off")]
    wipe_deadline: Annotated[float, Q("min", "When its first wood must be wiped, by the fast clock")]
    slack: Annotated[float, Q("min", "Least time left to a deadline on any of its courses")]


class CadenceEvent(msgspec.Struct, frozen=True, kw_only=True):
    """One line of the time line."""

    id: Annotated[str, F("Band, and what happens")]
    begins: Annotated[float, Q("min", "When, from the first stroke")]
    text: Annotated[Clause, F("What happens")]


class CadenceChange(msgspec.Struct, frozen=True, kw_only=True):
    """Something that might be done otherwise, and what would come of it."""

    id: Annotated[str, F("What is changed")]
    verdict: Annotated[Verdict, F("Whether the crew would keep up")]
    courses_per_band: Annotated[int, F("Courses of a band then; 0 where it still cannot be done")]
    duration: Annotated[float, Q("h", "From the first stroke to the last cloth then")] | None = None
    text: Annotated[Clause, F("The same in words")]


class ClothDuty(msgspec.Struct, frozen=True, kw_only=True):
    """Something that must be done about cloths, whatever else the plan says."""

    id: Annotated[str, F("When")]
    message: Annotated[Clause, F("What to do")]
