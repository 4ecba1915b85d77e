"""What cure-windows is asked."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec

from latewood.calculators.cure_windows.fields import DIFFERENCE, CureProduct, ShadeSpell, WorkShift, WorkStep
from latewood.declare import F, Q
from latewood.quantities.instants import Moment
from latewood.records import BoardColour, Coating
from latewood.rules.old_and_new_finish import StillOn
from latewood.rules.wiping import LaidOn
from latewood.weather import Exposure, Weather
from latewood.weather.fields import Latitude, LocalZone, Longitude


class Inputs(msgspec.Struct, frozen=True, kw_only=True):
    """The coating, the weather, the boards, and when people work."""

    coating: Annotated[Coating, F("Coating family", example="clear-penetrating-oil")]
    weather: Annotated[Weather, F("The weather, by the hour or by the day")]
    species: LaidOn | None = None
    old_coating: StillOn | None = None
    other_coatings: Annotated[
        tuple[Annotated[Coating, F("Coating family", example="waterborne-stain")], ...],
        F("Other coating families that may be taken where this one has no window", max_items=8),
    ] = ()
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
    thickness: Annotated[float, Q("mm", "Thickness of the boards", ge=5, le=100, example="25 mm")] | None = None
    heat_below: (
        Annotated[float, Q("W/m2/K", "What the under side of the boards gives off", ge=0, le=20, example="3 W/m2/K")]
        | None
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
