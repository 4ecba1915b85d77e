"""How many boards at a time, and who wipes when? The rhythm of coating and wiping, band by band."""

from __future__ import annotations

from latewood.calculators.wipe_cadence.answer import answer, nothing
from latewood.calculators.wipe_cadence.compute import compute
from latewood.calculators.wipe_cadence.compute.choose import setting_of
from latewood.calculators.wipe_cadence.findings import find, find_beyond
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.resolve import left, resolve
from latewood.calculators.wipe_cadence.result import Result
from latewood.calculators.wipe_cadence.validation import check, check_ahead
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import cadence, waste
from latewood.provenance import Ledger


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
    costs=(Cost(0.1, 512),),
    outputs={"wipe-cadence": "wipe_by"},
)
def wipe_cadence(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Plan the bands in which a deck is coated and wiped, and say whether the crew keeps up.

    Full boards only, stopped at natural breaks where there are some, no wider than an arm reaches across wet boards.
    Edges are cut in with the band they border on. Times to wiping are those of the product on boards as warm as these,
    by the fast clock. The work is run through course by course; what a slow crew could not do in time is not planned,
    and nothing is on boards warmer or colder than the finish bears.
    """
    check(x)
    resolved = resolve(x, ledger, known)
    setting = setting_of(resolved)
    if (why := find_beyond(resolved, ledger)) is not None:
        return nothing(resolved, why)
    check_ahead(resolved, setting)
    found = compute(resolved, setting, ledger)
    find(resolved, setting, found, ledger)
    return answer(resolved, setting, found, left(found.cloths, resolved.oil, ledger, known))


__all__ = ["Inputs", "Result", "wipe_cadence"]
