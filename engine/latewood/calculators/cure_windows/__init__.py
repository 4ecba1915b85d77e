"""When can the deck be coated, and when can it be walked on? Weather against gates, hour by hour."""

from __future__ import annotations

from latewood.calculators.cure_windows.answer import answer
from latewood.calculators.cure_windows.compute import compute
from latewood.calculators.cure_windows.findings import find
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.resolve import resolve
from latewood.calculators.cure_windows.result import Result
from latewood.calculators.cure_windows.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import air, board_heat, cure, rain, sun, surface
from latewood.provenance import Ledger


@calculator(
    "cure-windows",
    "Weather windows and curing",
    since="0.2",
    example={
        "coating": "clear-penetrating-oil",
        "latitude": "41.2 deg",
        "longitude": "-73.9 deg",
        "timezone": "America/New_York",
        "laying_time": "3 h",
        "weather": {
            "days": [
                {
                    "date": "2026-05-04",
                    "warmest": "21 degC",
                    "coldest": "10 degC",
                    "relative_humidity": "60 %",
                    "wet_spells": "none",
                    "cloud": "90 %",
                    "wind_speed": "3 m/s",
                },
                {
                    "date": "2026-05-05",
                    "warmest": "23 degC",
                    "coldest": "12 degC",
                    "relative_humidity": "65 %",
                    "wet_spells": "none",
                    "cloud": "90 %",
                    "wind_speed": "3 m/s",
                },
                {
                    "date": "2026-05-06",
                    "warmest": "20 degC",
                    "coldest": "12 degC",
                    "relative_humidity": "75 %",
                    "wet_spells": "14-18",
                    "cloud": "100 %",
                    "wind_speed": "3 m/s",
                },
            ]
        },
    },
    formulas=(
        air.dew_point,
        air.frost_point,
        sun.solar_elevation,
        sun.clear_sky_irradiance,
        sun.irradiance_under_cloud,
        surface.sky_emissivity,
        surface.convection,
        board_heat.exchange,
        board_heat.outdoor_temperature,
        board_heat.exchange_below,
        board_heat.face_conductance,
        board_heat.in_series,
        board_heat.settled_temperature,
        board_heat.time_constant,
        board_heat.mean_temperature,
        board_heat.face_temperature,
        cure.hours_at_rate,
        rain.chance_in_hours,
        rain.chance_of_one_shower,
        rain.chance_of_either,
    ),
    costs=(Cost(0.1, 1024),),
)
def cure_windows(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find when the work fits into the weather, how sure that is, and when the deck may be used again.

    Gates are tested on the face of the boards, not on the air: sun heats them, a clear night cools them below the dew
    point while the air seems dry. Curing is counted in hours at 23 °C and 50 %, by a slow and a fast clock: the slow
    one says when to walk on it and when rain does no harm, the fast one by when the excess must be off.

    The highest temperature is one of boards that are coated: what lies on them is wiped sooner the hotter they get.
    Where no start works as asked, or starts lie within less than an hour, the search is run again with other hours,
    shade, the floor in parts, another finish that may be taken and more people, and what opens a window is proposed.
    """
    check(x)
    resolved = resolve(x, ledger, known)
    found = compute(resolved, ledger)
    find(resolved, found, ledger)
    return answer(resolved, found, x.first)


__all__ = ["Inputs", "Result", "cure_windows"]
