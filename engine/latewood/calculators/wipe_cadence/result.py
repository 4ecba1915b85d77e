"""What wipe-cadence answers."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.wipe_cadence.fields import (
    CadenceBand,
    CadenceChange,
    CadenceEvent,
    CadenceRunRow,
    ClothDuty,
    Verdict,
)
from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.records import WipingRegime
from latewood.rules.waste import Left


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Whether the crew keeps up, in which bands, and what happens when. Minutes run from the first stroke."""

    verdict: Annotated[
        Verdict, F("yes also for a slow crew, at-risk at the typical pace only, or no: then nothing is planned")
    ]
    text: Annotated[Clause, F("The answer in a sentence or two")]
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
