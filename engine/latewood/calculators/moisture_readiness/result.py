"""What moisture-readiness answers."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Literal

import msgspec

from latewood.declare import F, Q
from latewood.messages import Clause
from latewood.uncertainty.spread import Number

Readiness = Literal["ready", "ready-if-reread", "not-ready", "unknown"]


class CorrectedReading(msgspec.Struct, frozen=True, kw_only=True):
    """One reading put right, or the reason why it is no number."""

    id: Annotated[str, F("Place among the readings, from 1")]
    zone: Annotated[str, F("Zone it was taken in")]
    reading: Annotated[float, Q("%", "Moisture content the meter showed")]
    corrected: Annotated[Number, Q("%", "Moisture content of the wood; left out where there is no number")] | None = (
        None
    )
    usable: Annotated[bool, F("Whether it counts")]
    overrules: Annotated[bool, F("Whether it overrules the model of drying")]
    why: Annotated[Clause, F("Why it does not count, or does not overrule")] | None = None


class CurvePoint(msgspec.Struct, frozen=True, kw_only=True):
    """One point of how the zone dries from now on."""

    id: Annotated[str, F("Hours from now")]
    after: Annotated[float, Q("h", "Time from now")]
    outer_moisture: Annotated[Number, Q("%", "Mean moisture content of the outer layer")]


class WaitAssumption(msgspec.Struct, frozen=True, kw_only=True):
    """Something the time until the wood is dry rests on."""

    id: Annotated[str, F("no-source-of-water, weather-goes-on or mean-climate")]
    text: Annotated[Clause, F("The same in words")]


class ZoneReadiness(msgspec.Struct, frozen=True, kw_only=True):
    """Whether a zone is dry enough, and when it will be."""

    id: Annotated[str, F("Name of the zone")]
    verdict: Annotated[Readiness, F("Whether it may be coated")]
    reasons: Annotated[tuple[Clause, ...], F("Why the verdict is what it is")]
    count: Annotated[int, F("Readings that count")]
    mean: Annotated[float, Q("%", "Mean of the corrected readings")] | None = None
    deviation: Annotated[float, Q("%", "Standard deviation of the corrected readings")] | None = None
    highest: Annotated[float, Q("%", "Highest corrected reading")] | None = None
    upper_bound: Annotated[float, Q("%", "Upper confidence bound of the mean")] | None = None
    moisture_limit: Annotated[float, Q("%", "Highest moisture content for this coating on this wood")]
    readings_wanted: Annotated[int, F("Readings this zone takes in all, at most 8")]
    where_to_read: Annotated[tuple[Clause, ...], F("Where to take the readings")]
    equilibrium: Annotated[float, Q("%", "Moisture content the wood is heading to in this weather")] | None = None
    model_moisture: Annotated[Number, Q("%", "Outer layer now, by the model of drying")] | None = None
    wetted_depth: Annotated[float, Q("mm", "Depth of wetting the prediction rests on")] | None = None
    time_to_ready: (
        Annotated[
            Number,
            Q("h", "Time from now until the outer layer stays at the limit and drops are due; left out where never"),
        ]
        | None
    ) = None
    time_to_ready_shallow: Annotated[Number, Q("h", "The same, wetted as deep as sound wood is")] | None = None
    time_to_ready_deep: Annotated[Number, Q("h", "The same, wetted as deep as weathered wood is")] | None = None
    assumes: Annotated[tuple[WaitAssumption, ...], F("What this time rests on")] = ()
    common_wait: Annotated[Number, Q("h", "Wait after the last wetting by common practice, for comparison")] | None = (
        None
    )
    dry_by: (
        Annotated[datetime, F("Median time by which the outer layer stays at the limit, whatever drops say")] | None
    ) = None
    never: Annotated[bool, F("Whether this weather never gets the wood there")]
    humidity_needed: Annotated[float, Q("%", "Mean humidity below which it would")] | None = None
    read_again_after: Annotated[float, Q("h", "Time from now after which to measure again")] | None = None
    read_again: Annotated[datetime, F("When to measure again")] | None = None
    test_again_after: (
        Annotated[Number, Q("h", "Time from now until drops are put on it again; new treated wood waits")] | None
    ) = None
    test_again: Annotated[datetime, F("Earliest time to put drops on it again")] | None = None
    curve: Annotated[tuple[CurvePoint, ...], F("How the outer layer dries")]


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """A verdict for every zone, and for the whole the worst of them."""

    verdict: Annotated[Readiness, F("Whether all of it may be coated: the verdict on the worst zone")]
    zones: Annotated[tuple[ZoneReadiness, ...], F("The zones, in the order they were given")]
    readings: Annotated[tuple[CorrectedReading, ...], F("The readings, put right")]
