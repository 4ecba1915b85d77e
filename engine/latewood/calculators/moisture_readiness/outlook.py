"""What the model of drying says of a zone: how moist it is, and how long it waits."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from latewood.calculators.moisture_readiness import cases as ways
from latewood.calculators.moisture_readiness import evidence as ev
from latewood.calculators.moisture_readiness import findings, forecast
from latewood.calculators.moisture_readiness.climate import AHEAD, HOUR, Climate, air_of, settled
from latewood.calculators.moisture_readiness.fields import CurvePoint, ReadinessZone
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.calculators.moisture_readiness.setting import PLENTY, Setting, Water
from latewood.formulas import air, diffusion, movement, sorption
from latewood.formulas.drying_air import Air
from latewood.problems import Fault, InputProblem
from latewood.records import Species
from latewood.uncertainty import spread
from latewood.weather import Exposure

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Outlook:
    """What the model says of a zone."""

    now: spread.Number | None
    wait: spread.Number | None
    shallow: spread.Number | None
    deep: spread.Number | None
    curve: tuple[CurvePoint, ...]
    depth: float | None
    #: Whether by the model a film of water still lies on the boards.
    film: bool = False
    #: Whether the slowest of the cases is not there in 60 days.
    open_ended: bool = False


def outlook_of(
    setting: Setting,
    zone: ReadinessZone,
    species: Species | None,
    seen: ev.Evidence,
    waters: list[Water],
    last_wet: float | None,
    limit: float,
    *,
    weathered: bool,
) -> Generator[forecast.Run, list[forecast.Course], Outlook]:
    """Return what the model of drying says of a zone, from its last wetting or from what was read in it."""
    x, climate = setting.x, setting.climate
    nothing = Outlook(None, None, None, None, (), None)
    if climate is None:
        return nothing
    wetted = bool(waters) or not climate.steady
    shallow, deep, chosen = findings.depths(setting, zone, waters, weathered=weathered)
    boards = _wood(setting, zone, species, seen, climate.mean()[0])
    water = np.zeros(len(climate.temperature))
    for event in waters:
        place = int(np.ceil((event.at - climate.first) / climate.step - 1e-9))
        water[min(max(place, 0), len(water) - 1)] += event.amount
    exposure = zone.exposure or x.exposure or "open"
    moist = _air(setting, climate, exposure, weathered=weathered, water=water)
    _show(setting, zone, boards)
    path = f"moisture-readiness/{zone.id}"
    mean = settled(climate.mean())
    closed = _closed(x, climate, waters)
    wetted_at = waters[-1].at if waters else 0.0
    model_now, film = None, False

    # What pins read at a depth is the mean of wood about twice as deep.
    pins = max((read.given.pin_depth or 0.0 for read in seen.counted), default=0.0)
    probed = replace(boards, outer=min(max(boards.outer, 2 * pins), boards.thickness))

    def follow(cases: list[ways.Case], since: float, *, wet: bool) -> forecast.Run:
        wood = boards if wet else probed
        return forecast.Run(
            cases=cases,
            wood=wood,
            climate=climate,
            air=moist,
            since=since,
            limit=limit,
            wetted_at=wetted_at,
            closed=closed,
            wet=wet,
        )

    courses: list[forecast.Course] = []
    waits: dict[str, spread.Number | None] = {}
    takes: dict[str, float] = {}
    if wetted:
        core = _core(seen, waters, mean)
        since = waters[-1].at if closed and waters else climate.first
        depths = {"chosen": chosen} | ({"shallow": shallow, "deep": deep} if waters else {})
        # All depths side by side: solving nine boards takes hardly longer than three.
        apart = list(dict.fromkeys(depths.values()))
        ran = yield follow([c for depth in apart for c in ways.wetted_cases(boards, depth, core)], since, wet=True)
        by_depth = {depth: ran[3 * place : 3 * place + 3] for place, depth in enumerate(apart)}
        for name, depth in depths.items():
            waits[name] = forecast.number(f"{path}/{name}", by_depth[depth])
            takes[name] = sorted(course.from_wetting for course in by_depth[depth])[1]
        courses = by_depth[chosen]
        model_now = forecast.curve(f"{path}/now", courses)[0]
        film = courses[1].film
    if seen.highest is not None and not (wetted and not seen.overruling and not _wetter(seen, model_now)):
        best = seen.overruling or seen.counted
        moisture = max(read.value for read in best)
        when = max((t for r, t in zip(seen.reads, seen.times, strict=True) if r in best and t is not None), default=0.0)
        cases = ways.read_cases(probed, moisture, mean, chosen, skin=last_wet is not None)
        courses = yield follow(cases, min(when, 0.0), wet=False)
        waits["chosen"] = forecast.number(f"{path}/read", courses)
    if not courses:
        return nothing
    rows = forecast.curve(f"{path}/curve", courses)
    points = tuple(
        CurvePoint(id=str(hour), after=hour * HOUR, outer_moisture=row)
        for hour, row in zip(forecast.HOURS, rows, strict=True)
    )
    findings.common_wait(setting, zone, waters, takes, shallow, deep)
    return Outlook(
        model_now,
        waits.get("chosen"),
        waits.get("shallow"),
        waits.get("deep"),
        points,
        chosen if any(event.kind.depths for event in waters) else None,
        film,
        any(course.wait > AHEAD for course in courses),
    )


def _air(setting: Setting, climate: Climate, exposure: Exposure, *, weathered: bool, water: Array) -> Air:
    """Return the air of a zone, the same one for all zones that lie alike."""
    key = (exposure, weathered, water.tobytes())
    if key not in setting.airs:
        setting.airs[key] = air_of(
            setting.x,
            climate,
            exposure,
            weathered=weathered,
            model=setting.model,
            water=water,
            ledger=setting.ledger,
            known=setting.known,
        )
    return setting.airs[key]


def _show(setting: Setting, zone: ReadinessZone, boards: ways.Wood) -> None:
    """Write down what drives the drying at the mean of the weather ahead; the model has it for every step."""
    if setting.climate is None or setting.ledger.steps is None:
        return
    step, about = setting.ledger.step, f"zone {zone.id}, at the mean of the weather ahead"
    temperature, humidity = setting.climate.ahead()
    step(air.saturation_pressure_over_water, about, temperature=temperature)
    step(air.vapour_pressure, about, temperature=temperature, relative_humidity=humidity)
    step(air.wet_bulb, about, temperature=temperature, relative_humidity=humidity, pressure=101325.0)
    moisture = settled((temperature, humidity))
    step(diffusion.bound_water_diffusivity, about, temperature=temperature, moisture=moisture)
    step(
        diffusion.transverse_diffusivity,
        about,
        temperature=temperature,
        moisture=moisture,
        basic_density=boards.basic_density,
    )


def _closed(x: Inputs, climate: Climate, waters: list[Water]) -> bool:
    """Say whether the series may be used: it begins with one wetting that fills the wood, and knows no later one."""
    apt = all(water.at <= 0 and water.amount == PLENTY for water in waters)
    if x.method == "closed-form" and not apt:
        detail = "the closed form begins at a wetting that lies back and fills the wood; dew, frost and plans it cannot"
        raise InputProblem([Fault(pointer="/method", code="conflict", detail=detail, expected="numerical")])
    return climate.steady and apt and x.method != "numerical"


def _wetter(seen: ev.Evidence, model_now: spread.Number | None) -> bool:
    """Say whether the readings are wetter than the model: the drier of the two never wins alone."""
    return model_now is None or (seen.highest is not None and seen.highest > spread.value(model_now))


def _core(seen: ev.Evidence, waters: list[Water], mean: float) -> float:
    """Return the moisture below the wetting: as read before it, else what the weather gives."""
    if not waters:
        return mean
    first = waters[0].at
    before = [
        r.value
        for r, t in zip(seen.reads, seen.times, strict=True)
        if (r in seen.counted or r in seen.older) and t is not None and t <= first
    ]
    return max(before, default=mean)


def _wood(
    setting: Setting, zone: ReadinessZone, species: Species | None, seen: ev.Evidence, temperature: float
) -> ways.Wood:
    x, ledger, model = setting.x, setting.ledger, setting.model
    if species is None:
        species = setting.known.record("species", "unidentified-medium-hardwood")
        ledger.default("species", species.id, effect=0.5, why="denser wood dries more slowly")
    basic = species.basic_density
    density = (
        spread.value(ledger.take(basic))
        if basic is not None
        else spread.value(ledger.step(movement.basic_density_from, density=ledger.take(species.density)))
    )
    thickness = zone.thickness or x.thickness
    if thickness is None:
        thickness = spread.value(ledger.take(model.thickness))
    filled = {key: spread.value(ledger.take(number)) for key, number in model.filled.items()}
    keys = sorted(filled, key=int)
    level = float(np.interp(density, [float(key) for key in keys], [filled[key] for key in keys]))
    most = spread.value(ledger.step(sorption.greatest_moisture, basic_density=density))
    factor = ledger.take(model.diffusivity_factor)
    wider = findings.less_sure(setting, zone, seen, temperature)
    outer = x.outer_depth if x.outer_depth is not None else spread.value(ledger.take(model.outer_depth))
    return ways.Wood(
        basic_density=density,
        thickness=thickness,
        filled=min(level, most),
        film=spread.value(ledger.take(model.film)),
        outer=min(outer, thickness),
        factors=(spread.low(factor) / wider, spread.value(factor), spread.high(factor) * wider),
    )
