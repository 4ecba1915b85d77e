"""What the model of drying says of a zone: how moist it is, and how long it waits."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import replace

from latewood.calculators.moisture_readiness.compute import boards as ways
from latewood.calculators.moisture_readiness.compute import forecast
from latewood.calculators.moisture_readiness.measured import Evidence, Outlook, latest
from latewood.calculators.moisture_readiness.resolved import AHEAD, HOUR, Climate, Resolved, Water, Zone, settled
from latewood.calculators.moisture_readiness.result import CurvePoint
from latewood.formulas import air, diffusion, sorption
from latewood.messages import Name, clause
from latewood.provenance import Ledger
from latewood.records import Species
from latewood.uncertainty import spread


def outlook_of(
    zone: Zone,
    climate: Climate,
    species: Species,
    seen: Evidence,
    depths: tuple[float, float, float],
    shared: Resolved,
    ledger: Ledger,
    *,
    weathered: bool,
) -> Generator[forecast.Run, list[forecast.Course], Outlook]:
    """Return what the model of drying says of a zone, from its last wetting or from what was read in it."""
    waters, (shallow, deep, chosen) = zone.waters, depths
    boards = ways.wood_of(zone, species, seen, climate.mean()[0], shared, ledger)
    moist = ways.air_of(zone, species, climate, shared, ledger, weathered=weathered)
    _show(zone, climate, boards, shared.pressure, ledger)
    path = f"moisture-readiness/{zone.id}"
    mean = settled(climate.mean())
    wetted = bool(waters) or not climate.steady
    model_now, film = None, False

    # What pins read at a depth is the mean of wood about twice as deep.
    pins = max((read.reading.given.pin_depth or 0.0 for read in seen.counted), default=0.0)
    probed = replace(boards, outer=min(max(boards.outer, 2 * pins), boards.thickness))

    def follow(cases: list[ways.Case], since: float, *, wet: bool) -> forecast.Run:
        return forecast.Run(
            cases=cases,
            wood=boards if wet else probed,
            climate=climate,
            air=moist,
            since=since,
            limit=zone.limit,
            wetted_at=waters[-1].at if waters else 0.0,
            closed=zone.closed,
            wet=wet,
        )

    courses: list[forecast.Course] = []
    waits: dict[str, spread.Number | None] = {}
    takes: dict[str, float] = {}
    if wetted:
        core = _core(seen, waters, mean)
        since = waters[-1].at if zone.closed and waters else climate.first
        named = {"chosen": chosen} | ({"shallow": shallow, "deep": deep} if waters else {})
        # All depths side by side: solving nine boards takes hardly longer than three.
        apart = list(dict.fromkeys(named.values()))
        ran = yield follow([c for depth in apart for c in ways.wetted_cases(boards, depth, core)], since, wet=True)
        by_depth = {depth: ran[3 * place : 3 * place + 3] for place, depth in enumerate(apart)}
        for name, depth in named.items():
            waits[name] = forecast.number(f"{path}/{name}", by_depth[depth])
            takes[name] = sorted(course.from_wetting for course in by_depth[depth])[1]
        courses = by_depth[chosen]
        model_now = forecast.curve(f"{path}/now", courses)[0]
        film = courses[1].film
    if seen.highest is not None and not (wetted and not seen.overruling and not _wetter(seen, model_now)):
        best = seen.overruling or seen.counted
        moisture = max(read.value for read in best)
        cases = ways.read_cases(probed, moisture, mean, chosen, skin=zone.last_wet is not None)
        courses = yield follow(cases, min(latest(best) or 0.0, 0.0), wet=False)
        waits["chosen"] = forecast.number(f"{path}/read", courses)
    if not courses:
        return Outlook()
    rows = forecast.curve(f"{path}/curve", courses)
    return Outlook(
        now=model_now,
        wait=waits.get("chosen"),
        shallow=waits.get("shallow"),
        deep=waits.get("deep"),
        curve=tuple(
            CurvePoint(id=str(hour), after=hour * HOUR, outer_moisture=row)
            for hour, row in zip(forecast.HOURS, rows, strict=True)
        ),
        depth=chosen if any(event.kind.depths for event in waters) else None,
        film=film,
        open_ended=any(course.wait > AHEAD for course in courses),
        takes=takes,
    )


def _show(zone: Zone, climate: Climate, boards: ways.Wood, pressure: float, ledger: Ledger) -> None:
    """Write down what drives the drying at the mean of the weather ahead; the model has it for every step."""
    if ledger.steps is None:
        return
    step, about = ledger.step, clause("zone-at-mean-ahead", zone=Name(zone.id))
    temperature, humidity = climate.ahead()
    step(air.saturation_pressure_over_water, about, temperature=temperature)
    step(air.vapour_pressure, about, temperature=temperature, relative_humidity=humidity)
    step(air.wet_bulb, about, temperature=temperature, relative_humidity=humidity, pressure=pressure)
    here = {"temperature": temperature, "moisture": settled((temperature, humidity))}
    step(diffusion.bound_water_diffusivity, about, **here)
    step(diffusion.transverse_diffusivity, about, **here, basic_density=boards.basic_density)


def heading(zone: Zone, climate: Climate, ledger: Ledger) -> float:
    """Return the moisture content a zone is heading to in the weather ahead."""
    temperature, humidity = climate.ahead()
    numbers = {"temperature": temperature, "relative_humidity": humidity}
    about = clause("zone-in-weather-ahead", zone=Name(zone.id))
    return spread.value(ledger.step(sorption.equilibrium_moisture, about, **numbers))


def needed(zone: Zone, climate: Climate, outlook: Outlook, ledger: Ledger) -> float | None:
    """Return the humidity that would get the wood to its limit where the weather ahead never does, else None."""
    temperature, humidity = climate.ahead()
    about, at_limit = (
        clause("zone-in-weather-ahead", zone=Name(zone.id)),
        {"temperature": temperature, "moisture": zone.limit},
    )
    least = spread.value(ledger.step(sorption.equilibrium_humidity, about, **at_limit))
    stuck = outlook.wait is None and bool(outlook.curve)
    return least if humidity >= least and (stuck or settled((temperature, humidity)) > zone.limit) else None


def _wetter(seen: Evidence, model_now: spread.Number | None) -> bool:
    """Say whether the readings are wetter than the model: the drier of the two never wins alone."""
    return model_now is None or (seen.highest is not None and seen.highest > spread.value(model_now))


def _core(seen: Evidence, waters: tuple[Water, ...], mean: float) -> float:
    """Return the moisture below the wetting: as read before it, else what the weather gives."""
    if not waters:
        return mean
    reads = [read for read in (*seen.counted, *seen.older) if read.reading.at is not None]
    return max((read.value for read in reads if (read.reading.at or 0.0) <= waters[0].at), default=mean)
