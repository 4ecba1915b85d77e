"""When can the deck be coated, and when can it be walked on? Weather against gates, hour by hour."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators._cure_windows.answer import answer
from latewood.calculators._cure_windows.fields import (
    DIFFERENCE,
    Answered,
    CureEvent,
    CureHour,
    CureMiss,
    CureProduct,
    CureWindow,
    HandOver,
    RainRisk,
    ShadeSpell,
    WorkShift,
    WorkStep,
)
from latewood.calculators._cure_windows.refuse import refuse
from latewood.declare import F, Known, Q, calculator
from latewood.formulas import air, cure, rain, sun, surface
from latewood.moment import Moment
from latewood.provenance import Ledger
from latewood.records import BoardColour, Coating, Species
from latewood.rules.old_and_new_finish import StillOn, pair, say_pair
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Latitude, LocalZone, Longitude


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The coating, the weather, the boards, and when people work."""

    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    weather: Annotated[Weather, F("The weather, by the hour or by the day")]
    species: (
        Annotated[Species, F("Wood species, which decides with the family how it is laid", example="ipe")] | None
    ) = None
    old_coating: StillOn | None = None
    product: Annotated[CureProduct, F("What the product's data sheet says; it overrides the family")] | None = None
    steps: Annotated[
        tuple[WorkStep, ...], F("The work in its order; the family's coats if left out", max_items=20)
    ] = ()
    laying_time: (
        Annotated[float, Q("h", "Working time of one coat, where no steps are given", ge=0.05, le=40, example="3 h")]
        | None
    ) = None
    start: Annotated[Moment, F("A start to be judged", example="2026-05-04T09:00:00-04:00")] | None = None
    earliest: Annotated[Moment, F("No start before this", example="2026-05-04T07:00:00-04:00")] | None = None
    first: Annotated[
        tuple[str, ...],
        F(
            "What must be read, repaired or done before the first coat, each with its verb",
            example="read the moisture of main",
            max_items=40,
        ),
    ] = ()
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    timezone: LocalZone | None = None
    board_colour: Annotated[BoardColour, F("Look of the boards: fresh, grey, oiled", example="grey")] | None = None
    exposure: Annotated[Exposure, F("Shelter of the boards")] | None = None
    shade: Annotated[tuple[ShadeSpell, ...], F("Times of day in which the boards lie in shade", max_items=12)] = ()
    heat_below: (
        Annotated[float, Q("W/m2/K", "What the air under the boards takes", ge=0, le=20, example="3 W/m2/K")] | None
    ) = None
    board_temperature: (
        Annotated[
            Literal["heat-balance", "air"],
            F("Rule for the temperature of the boards: a balance of sun, sky and air, or that of the air"),
        ]
        | None
    ) = None
    shift: Annotated[WorkShift, F("When people work")] | None = None
    dry_so_far: (
        Annotated[float, Q("h", "Time without rain before the weather given begins", ge=0, le=1000, example="24 h")]
        | None
    ) = None
    night: (
        Annotated[
            Literal["does-not-count", "counts"], F("Whether nights count for the hand-over, where no dew falls anyway")
        ]
        | None
    ) = None
    rain_chance_limit: (
        Annotated[float, Q("%", "Chance from which rain is expected", ge=1, le=100, example="30 %")] | None
    ) = None
    temperature_error: (
        Annotated[float, Q("K", "Error of the forecast to be borne", ge=0, le=10, example="2 K", dimension=DIFFERENCE)]
        | None
    ) = None
    humidity_error: (
        Annotated[float, Q("%", "Error of the forecast to be borne, in points", ge=0, le=50, example="10 %")] | None
    ) = None
    rain_chance_error: (
        Annotated[float, Q("%", "Error of the forecast to be borne, in points", ge=0, le=90, example="20 %")] | None
    ) = None
    most: Annotated[int, F("How many windows to list", ge=1, le=100, example=5)] | None = None
    brief: Annotated[bool, F("Whether to leave out the weather step by step")] | None = None


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """Whether and when, how sure that is, and what comes after."""

    verdict: Annotated[
        Answered,
        F("yes, conditional, at-risk or no: for the start to be judged, else for the best there is"),
    ]
    first: Annotated[tuple[str, ...], F("What must be read, repaired or done before the first coat")]
    text: Annotated[str, F("The answer in a sentence or two")]
    passing_time: Annotated[
        float, Q("h", "Time at which the weather of the hour passes, whatever comes before and after")
    ]
    passing_daylight: Annotated[float, Q("h", "The part of it in daylight")]
    longest_passing: Annotated[float, Q("h", "The longest run of it")]
    windows: Annotated[tuple[CureWindow, ...], F("Stretches of starts that work, the best first")]
    timeline: Annotated[tuple[CureEvent, ...], F("What happens when, from the start to be judged, else the best")]
    hand_over: Annotated[tuple[HandOver, ...], F("When the deck may be used, by the slow clock")]
    nearest: Annotated[CureMiss, F("Where nothing works: what comes nearest")] | None = None
    rain_risk: RainRisk | None = None
    hours: Annotated[tuple[CureHour, ...], F("The weather step by step, with the gates of coating")] | None = None


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
        surface.board_surface_temperature,
        cure.hours_at_rate,
        rain.chance_in_hours,
        rain.chance_of_one_shower,
        rain.chance_of_either,
    ),
)
def cure_windows(x: Inputs, ledger: Ledger, known: Known) -> Result:
    """Find when the work fits into the weather, how sure that is, and when the deck may be used again.

    Gates are tested on the face of the boards, not on the air: sun heats them, a clear night cools them below the dew
    point while the air seems dry. Curing is counted in hours at 23 °C and 50 %, by a slow and a fast clock: the slow
    one says when to walk on it and when rain does no harm, the fast one by when the excess must be off.
    """
    refuse(x)
    over = pair(x.coating, x.old_coating)
    say_pair(over, ledger, pointer="/old_coating")
    fields = answer(x, ledger, known)
    if over.refused:
        nothing = {"windows": (), "timeline": (), "hand_over": (), "nearest": None}
        fields |= {"verdict": "no", "text": f"No: {over.why}.", "first": (), **nothing}
    return Result(**fields)
