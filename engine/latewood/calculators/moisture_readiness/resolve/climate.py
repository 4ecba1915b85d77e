"""The weather a zone dries in: a mean climate, or hours of weather, from some time before now to some time after."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.calculators.moisture_readiness.resolved import AHEAD, HOUR, Climate, Clock
from latewood.formulas.workdays import DAY
from latewood.messages import refusal
from latewood.problems import InputProblem
from latewood.provenance import Ledger
from latewood.records import DryingModel
from latewood.weather import Hours, reckoned_rain

#: Weather earlier than this before now no longer shows in the outer millimetres.
BEFORE: Final = 14 * DAY


def climate_of(x: Inputs, hours: Hours | None, clock: Clock, model: DryingModel, ledger: Ledger) -> Climate | None:
    """Return the weather from before to ahead; None where neither weather nor a mean was given."""
    if hours is not None:
        return _hourly(hours, clock, model, ledger)
    if x.temperature is None and x.relative_humidity is None:
        return None
    if x.temperature is None or x.relative_humidity is None:
        name = "temperature" if x.temperature is None else "relative_humidity"
        raise InputProblem([refusal("half-a-climate", f"/{name}")])
    past = [t for t in (*clock.taken, *clock.wetted) if t is not None and t < 0]
    first = max(HOUR * np.floor(min(past, default=0.0) / HOUR), -BEFORE)
    steps = round((AHEAD - first) / HOUR)
    column = np.ones(steps)
    return Climate(
        step=HOUR,
        first=first,
        temperature=column * x.temperature,
        humidity=column * x.relative_humidity,
        rain=column * 0.0,
        wind=None if x.wind_speed is None else column * x.wind_speed,
        hours=None,
        given=steps,
    )


def _hourly(hours: Hours, clock: Clock, model: DryingModel, ledger: Ledger) -> Climate:
    first = 0.0 if clock.now is None else (hours.start - clock.now).total_seconds()
    if not (first <= 2 * DAY and first + hours.step * len(hours) > 0):
        raise InputProblem([refusal("weather-not-around-now", "/weather")])
    begin = max(int((-BEFORE - first) // hours.step), 0)
    end = min(len(hours), int((AHEAD - first) // hours.step))
    hours = _cut(hours, begin, end)
    chance = ledger.value(model.rain_chance)
    given = len(hours)
    # What goes on after the end goes on as the last whole days were, a week of them at most.
    day = round(DAY / hours.step)
    last = min(max(given // day, 1), 7) * day if given >= day else given
    more = max(int((AHEAD - (first + begin * hours.step)) // hours.step) - given, 0)
    later = given - last + np.arange(more) % last
    order = np.concatenate((np.arange(given), later)).astype(int)
    temperature, humidity = (hours.bridged(name) for name in ("air_temperature", "relative_humidity"))
    return Climate(
        step=hours.step,
        first=first + begin * hours.step,
        rain=np.concatenate((reckoned_rain(hours, chance, ledger), np.zeros(more))),
        temperature=temperature[order],
        humidity=np.clip(humidity, 0.01, 1.0)[order],
        wind=None if hours.wind_speed is None else hours.bridged("wind_speed")[order],
        hours=replace(hours, air_temperature=temperature, relative_humidity=humidity),
        given=given,
    )


def _cut(hours: Hours, begin: int, end: int) -> Hours:
    columns = {
        name: value[begin:end]
        for name in Hours.__dataclass_fields__
        if isinstance(value := getattr(hours, name), np.ndarray)
    }
    return replace(hours, start=hours.at(begin), **columns)  # type: ignore[arg-type]  # columns alone were cut
