"""One zone after the other: what was read in it, what the model says, and what comes of that."""

from __future__ import annotations

from collections.abc import Generator, Iterator

from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.compute import assessment
from latewood.calculators.moisture_readiness.compute.boards import beyond_model, depths_of
from latewood.calculators.moisture_readiness.compute.drops import drops_of, failed_drops
from latewood.calculators.moisture_readiness.compute.evidence import evidence, wanted, where_to_read
from latewood.calculators.moisture_readiness.compute.forecast import Course, Run
from latewood.calculators.moisture_readiness.compute.outlook import heading, needed, outlook_of
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.calculators.moisture_readiness.measured import Evidence, Outlook
from latewood.calculators.moisture_readiness.resolve import drop_wait, weathering_of, wood_of, zone_of
from latewood.calculators.moisture_readiness.resolved import HOUR, Climate, Resolved, Zone, settled
from latewood.calculators.moisture_readiness.result import WaitAssumption, ZoneReadiness
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.rules.new_wood import retest
from latewood.uncertainty import spread

Row = tuple[ZoneReadiness, Zone, Evidence]


def readiness(
    x: Inputs, place: int, shared: Resolved, known: RecordLookup, ledger: Ledger
) -> Generator[Run, list[Course], Row]:
    """Return what comes of one zone, and what was read in it; yield what to follow."""
    clock, climate = shared.clock, shared.climate
    zone = zone_of(x, place, shared, ledger)
    here = None if climate is None else settled(climate.mean())
    seen = evidence(zone, here, shared, ledger)
    findings.of_evidence(zone, seen, here, shared, ledger)
    count, most = wanted(zone, seen, shared, ledger)
    state = weathering_of(x, zone, shared, known, ledger)
    outlook = Outlook()
    if climate is not None:
        depths = depths_of(zone, shared, ledger, weathered=state.weathered)
        findings.depth_assumed(zone, *depths[:2], ledger)
        species, temperature = wood_of(zone, known, ledger), climate.mean()[0]
        findings.less_sure(zone, beyond_model(shared.model, seen, temperature), temperature, ledger)
        outlook = yield from outlook_of(zone, climate, species, seen, depths, shared, ledger, weathered=state.weathered)
        if outlook.curve:
            findings.common_wait(zone, outlook, *depths[:2], ledger)
    failed, first = failed_drops(zone, state, shared, ledger)
    drops = drops_of(zone, failed, first, drop_wait(x, zone, shared, known, ledger) if failed else None, shared, ledger)
    wettings = (*(water.at for water in zone.waters), *zone.rain)
    ahead = tuple(end for end in wettings if end > 0 and (clock.start is None or end <= clock.start + HOUR))
    stands = ledger.value(shared.practice.stands)
    case = assessment.Situation(zone, shared, seen, count, most, stands, outlook, ahead, drops)
    found, reasons = assessment.verdict(case, ledger)
    humidity = None if climate is None else needed(zone, climate, outlook, ledger)
    stuck = humidity is not None
    # What is ready now waits for nothing, whatever the weather does to bare wood later.
    dry = 0.0 if found == "ready" and outlook.curve else outlook.wait
    findings.waiting(zone, found, dry, humidity, outlook, shared, ledger)
    wait = _later(dry, drops.again, in_sight=not outlook.curve or dry is not None)
    again = _read_again(found, (dry, drops.again), ahead, never=stuck)
    again = None if again is None else clock.by_day(again)
    result = ZoneReadiness(
        id=zone.id,
        verdict=found,
        reasons=reasons,
        count=seen.count,
        mean=None if seen.beyond_scale else seen.mean,
        deviation=None if seen.beyond_scale else seen.deviation,
        highest=None if seen.beyond_scale else seen.highest,
        upper_bound=seen.bound,
        moisture_limit=zone.limit,
        readings_wanted=min(count, most),
        where_to_read=where_to_read(zone, seen, min(count, most) - seen.count),
        equilibrium=None if climate is None else heading(zone, climate, ledger),
        model_moisture=outlook.now,
        wetted_depth=outlook.depth,
        time_to_ready=None if stuck else wait,
        time_to_ready_shallow=outlook.shallow,
        time_to_ready_deep=outlook.deep,
        assumes=() if stuck or wait is None else tuple(_assumptions(climate, wait)),
        common_wait=_common_wait(zone, ledger),
        dry_by=None if stuck or dry is None else clock.at(spread.central(dry)),
        never=stuck,
        humidity_needed=humidity,
        read_again_after=again,
        read_again=None if again is None else clock.at(again),
        test_again_after=drops.again,
        test_again=None if drops.again is None else clock.at(clock.by_day(retest(drops.again))),
        curve=outlook.curve,
    )
    return result, zone, seen


def _assumptions(climate: Climate | None, wait: spread.Number) -> Iterator[WaitAssumption]:
    """Yield what a time until the wood is dry rests on."""
    if spread.high(wait) <= 0:
        return
    yield WaitAssumption(id="no-source-of-water", text=clause("no-source-of-water"))
    if climate is not None and climate.steady:
        yield WaitAssumption(id="mean-climate", text=clause("mean-climate"))
    elif climate is not None and spread.high(wait) > climate.end:
        yield WaitAssumption(id="weather-goes-on", text=clause("weather-goes-on"))


def _common_wait(zone: Zone, ledger: Ledger) -> spread.Number | None:
    """Return the wait of common practice after the last wetting of which there is one."""
    kind = zone.commonly_waited
    return None if kind is None or kind.common_wait is None else ledger.take(kind.common_wait)


def _later(dry: spread.Number | None, drops: spread.Number | None, *, in_sight: bool) -> spread.Number | None:
    """Return the longer of the waits for dry wood and for the next drops, None where the first has no end in sight."""
    if drops is None or not in_sight:
        return dry
    return drops if dry is None or spread.low(drops) >= spread.high(dry) else spread.maximum(dry, drops)


def _read_again(
    found: str, waits: tuple[spread.Number | None, ...], ahead: tuple[float, ...], *, never: bool
) -> float | None:
    """Return when to measure again: after the longest wait at its earliest, and after what wets the wood."""
    if found == "ready" or (never and found == "not-ready"):
        return None
    if found == "unknown":
        return 0.0
    # A wait that may be over already is judged at its median: wood that is not ready is read later than now.
    times = [spread.low(wait) or spread.central(wait) for wait in waits if wait is not None]
    return max((*times, *ahead), default=0.0)
