"""How many boards at a time, and who wipes when? The rhythm of coating and wiping, band by band."""

from __future__ import annotations

from typing import Annotated, Any, Literal

import msgspec

from latewood.calculators._wipe_cadence.answer import answer
from latewood.calculators._wipe_cadence.fields import (
    Appliers,
    ArmReach,
    CadenceBand,
    CadenceChange,
    CadenceEvent,
    CadenceProduct,
    CadenceRun,
    CadenceRunRow,
    ClothDuty,
    Cutters,
    EdgePace,
    LayingPace,
    Verdict,
    Wipers,
    WipingPace,
)
from latewood.calculators._wipe_cadence.refuse import refuse
from latewood.declare import F, Known, Q, calculator
from latewood.formulas import cadence, waste
from latewood.provenance import Ledger
from latewood.records import Coating, Species, WipingRegime
from latewood.rules.old_and_new_finish import Pair, StillOn, pair, say_pair
from latewood.rules.waste import Left
from latewood.spread import Number


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The coating, the boards, the crew, and how warm the boards are."""

    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    species: (
        Annotated[Species, F("Wood species, which decides with the family how it is laid", example="ipe")] | None
    ) = None
    old_coating: StillOn | None = None
    product: Annotated[CadenceProduct, F("What the product's data sheet says; it overrides the family")] | None = None
    surface_temperature: (
        Annotated[float, Q("degC", "Temperature of the boards' face", ge=-20, le=80, example="25 degC")] | None
    ) = None
    relative_humidity: (
        Annotated[float, Q("%", "Of the air; waterborne coats only", ge=0, le=100, example="50 %")] | None
    ) = None
    course_length: (
        Annotated[float, Q("m", "Length of a course of a single run", ge=0.1, le=100, example="16 ft")] | None
    ) = None
    pitch: (
        Annotated[float, Q("mm", "From one board to the next: board and gap", ge=50, le=600, example="143 mm")] | None
    ) = None
    courses: Annotated[int, F("Courses of a single run", ge=1, le=400, example=27)] | None = None
    edge_length: (
        Annotated[float, Q("m", "Edge work of a single run, spread over its courses", ge=0, le=1000, example="24 ft")]
        | None
    ) = None
    runs: Annotated[
        tuple[CadenceRun, ...],
        F("Runs in the order of work, instead of a single one; the way ends off the deck", max_items=50),
    ] = ()
    appliers: Appliers
    wipers: Wipers | None = None
    cutters: Cutters | None = None
    laying_pace: LayingPace | None = None
    wiping_pace: WipingPace | None = None
    edge_pace: EdgePace | None = None
    gap_pace: (
        Annotated[
            Number, Q("m/h", "Gap one person brushes in an hour", ge=0.5, le=1000, example="25-70 m/h", uncertain=True)
        ]
        | None
    ) = None
    gap_faces: (
        Annotated[
            Literal["coated", "bare"],
            F("Whether a brush goes into each gap with its course; bare if left out, or coated some other time"),
        ]
        | None
    ) = None
    turn_time: (
        Annotated[float, Q("min", "From the end of one task to the start of the next", ge=0, le=60, example="1 min")]
        | None
    ) = None
    arm_reach: ArmReach | None = None
    edges_ahead: (
        Annotated[
            int,
            F(
                "Bands by which cutting in runs ahead of the field; 0 if left out, never more than 1",
                ge=0,
                le=500,
                example=1,
            ),
        ]
        | None
    ) = None
    courses_per_band: (
        Annotated[int, F("Courses of a band, to be tried; as many as may be if left out", ge=1, le=400, example=6)]
        | None
    ) = None
    applied: (
        Annotated[
            Number, Q("L", "Coating laid on in all, to count cloths by", ge=0, le=1e4, example="4-7 L", uncertain=True)
        ]
        | None
    ) = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Whether the crew keeps up, in which bands, and what happens when. Minutes run from the first stroke."""

    verdict: Annotated[
        Verdict, F("yes also for a slow crew, at-risk at the typical pace only, or no: then nothing is planned")
    ]
    text: Annotated[str, F("The answer in a sentence or two")]
    regime: Annotated[WipingRegime, F("How it is laid and wiped, by data sheet, else by family and wood")]
    wipe_after: (
        Annotated[float, Q("min", "From the first stroke until wiping is due, by the fast clock; where it is coated")]
        | None
    ) = None
    wipe_by: (
        Annotated[float, Q("min", "From the first stroke until it is too late, by the fast clock; where it is coated")]
        | None
    ) = None
    second_coat_after: Annotated[float, Q("min", "From the first coat until the second may go on")] | None = None
    second_coat_by: Annotated[float, Q("min", "From the first coat until the second must be on")] | None = None
    area: Annotated[float, Q("m2", "Floor of all runs, gaps counted")]
    courses_per_band: Annotated[
        int, F("Courses of the widest band, in the run where it is narrowest; 0 where verdict is no")
    ]
    duration: Annotated[float, Q("h", "From the first stroke to the last cloth, at the typical pace")] | None = None
    slow_duration: Annotated[float, Q("h", "The same bands, at the slow pace")] | None = None
    least_dwell: Annotated[float, Q("min", "Shortest time between laying a field and having wiped it")] | None = None
    most_dwell: Annotated[float, Q("min", "Longest time between a first stroke and having wiped it")] | None = None
    runs: Annotated[tuple[CadenceRunRow, ...], F("The runs")]
    bands: Annotated[tuple[CadenceBand, ...], F("The bands, in the order of work")]
    timeline: Annotated[tuple[CadenceEvent, ...], F("What happens when")]
    changes: Annotated[tuple[CadenceChange, ...], F("What would help, the best first")]
    cloths: Annotated[int, F("Cloths, by the median")]
    most_cloths: Annotated[int, F("Cloths that suffice nine times in ten")]
    duties: Annotated[tuple[ClothDuty, ...], F("What must be done with the cloths")]
    waste: Left = ()


@calculator(
    "wipe-cadence",
    "Rhythm of coating and wiping",
    since="0.3",
    example={
        "coating": "clear-penetrating-oil",
        "species": "ipe",
        "surface_temperature": "25 degC",
        "runs": [
            {
                "id": "main",
                "course_length": "16 ft",
                "pitch": "143 mm",
                "courses": 27,
                "edge_length": "24 ft",
                "first_edge": "16 ft",
                "break_after": [9, 18],
            }
        ],
        "appliers": 1,
        "wipers": 1,
    },
    formulas=(
        cadence.course_area,
        cadence.course_time,
        cadence.cut_in_time,
        cadence.courses_within,
        cadence.first_wait,
        cadence.cloths_by_area,
        cadence.cloths_by_volume,
        waste.mass_of_pieces,
        waste.volume_of_mass,
    ),
)
def wipe_cadence(x: Inputs, ledger: Ledger, known: Known) -> Result:
    """Plan the bands in which a deck is coated and wiped, and say whether the crew keeps up.

    Full boards only, stopped at natural breaks where there are some, no wider than somebody reaches across wet boards.
    Edges are cut in with the band they border on. Times to wiping are those of the product on boards as warm as these,
    by the fast clock. The work is run through course by course; what a slow crew could not do in time is not planned,
    and nothing is on boards warmer or colder than the finish bears.
    """
    refuse(x)
    over = pair(x.coating, x.old_coating)
    say_pair(over, ledger, pointer="/old_coating")
    fields = answer(x, ledger, known)
    return Result(**(fields | _unplanned(over) if over.refused else fields))


def _unplanned(over: Pair) -> dict[str, Any]:
    """Return what an answer says where nothing may be laid."""
    times = dict.fromkeys(("duration", "slow_duration", "least_dwell", "most_dwell"))
    rows = dict.fromkeys(("runs", "bands", "timeline", "changes", "duties"), ())
    counts = dict.fromkeys(("courses_per_band", "cloths", "most_cloths"), 0)
    return {"verdict": "no", "text": f"No: {over.why}.", **times, **rows, **counts}
