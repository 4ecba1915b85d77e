"""One zone after the other: what was read in it, what the model says, and what comes of that."""

from __future__ import annotations

from collections.abc import Generator

from latewood.calculators.moisture_readiness import assessment, findings
from latewood.calculators.moisture_readiness import evidence as ev
from latewood.calculators.moisture_readiness.climate import HOUR, Climate, settled
from latewood.calculators.moisture_readiness.correction import correct
from latewood.calculators.moisture_readiness.drops import drops_of
from latewood.calculators.moisture_readiness.fields import CorrectedReading, ReadinessZone, ZoneReadiness
from latewood.calculators.moisture_readiness.forecast import Course, Run
from latewood.calculators.moisture_readiness.outlook import Outlook, outlook_of
from latewood.calculators.moisture_readiness.setting import Setting
from latewood.calculators.moisture_readiness.wetting import rain_of, waters_of
from latewood.formulas import sorption
from latewood.provenance import Ledger
from latewood.records import Species
from latewood.rules.new_wood import retest
from latewood.uncertainty import spread

Row = tuple[ZoneReadiness, tuple[CorrectedReading, ...], ev.Evidence]


def zone_of(setting: Setting, zone: ReadinessZone) -> Generator[Run, list[Course], Row]:
    """Return what comes of one zone, its readings put right, and what they amount to; yield what to follow."""
    x, clock, climate, ledger, practice = setting.x, setting.clock, setting.climate, setting.ledger, setting.practice
    species = zone.species or x.species
    limit = _limit(setting, zone, species)
    stop = spread.value(ledger.take(setting.limits.stop))
    waters = waters_of(setting, zone)
    rain = rain_of(setting, zone)
    past = [water.at for water in waters if water.at <= 0] + [end for end in rain if end <= 0]
    last_wet = max(past, default=None)
    here = None if climate is None else settled(climate.mean())
    reads = [
        (correct(x, place, reading, zone, ledger, setting.known), clock.taken[place])
        for place, reading in enumerate(x.readings)
        if reading.zone == zone.id
    ]
    seen = ev.evidence(reads, last_wet, here, 0.95 if x.confidence is None else x.confidence, practice)
    ev.outliers(zone, seen, practice)
    findings.uncertain(zone, seen, limit, ledger)
    findings.traps(setting, zone)
    if not past:
        ev.unexplained(zone, seen, here, practice)
    within = spread.value(ledger.take(setting.known.record("moisture-meter", "resistance").within))
    count = ev.wanted(zone, seen, limit, within, practice)
    most = round(practice.take(practice.record.most))
    wetted = climate is not None and (bool(waters) or not climate.steady)
    state = findings.weathered(setting, zone, matters=wetted or any(test.zone == zone.id for test in x.drop_tests))
    outlook = yield from outlook_of(setting, zone, species, seen, waters, last_wet, limit, weathered=state.weathered)
    drops = drops_of(setting, zone, state)
    start = clock.start
    ahead = tuple(end for end in (*(w.at for w in waters), *rain) if end > 0 and (start is None or end <= start + HOUR))
    case = assessment.Situation(
        zone=zone,
        seen=seen,
        limit=limit,
        stop=stop,
        wanted=count,
        most=most,
        stands=practice.take(practice.record.stands),
        film=outlook.film,
        model=outlook.now,
        ahead=ahead,
        last_wet=last_wet,
        start=start,
        drops=drops,
        new_wood=x.new_wood_wait or setting.known.record("new-wood-wait", "measure"),
        age=x.new_wood_age,
    )
    found, reasons = assessment.verdict(case, ledger)
    never, needed = _never(setting, zone, limit, outlook)
    # What is ready now waits for nothing, whatever the weather does to bare wood later.
    dry = 0.0 if found == "ready" and outlook.curve else outlook.wait
    if never and needed is not None:
        findings.never(setting, zone, limit, needed, found)
    elif dry is None and outlook.curve:
        findings.out_of_sight(setting, zone)
    elif dry is not None:
        findings.beyond_weather(setting, zone, dry)
        if outlook.open_ended and found != "ready":
            findings.slow_end_open(setting, zone)
    wait = _later(dry, drops.again, in_sight=not outlook.curve or dry is not None)
    again = _read_again(found, (dry, drops.again), ahead, never=never)
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
        moisture_limit=limit,
        readings_wanted=min(count, most),
        where_to_read=ev.where_to_read(zone, seen, min(count, most) - seen.count),
        equilibrium=None if climate is None else _heading(climate, zone, ledger),
        model_moisture=outlook.now,
        wetted_depth=outlook.depth,
        time_to_ready=None if never else wait,
        time_to_ready_shallow=outlook.shallow,
        time_to_ready_deep=outlook.deep,
        dry_by=None if never or dry is None else clock.at(spread.central(dry)),
        never=never,
        humidity_needed=needed if never else None,
        read_again_after=again,
        read_again=None if again is None else clock.at(again),
        test_again_after=drops.again,
        test_again=None if drops.again is None else clock.at(clock.by_day(retest(drops.again))),
        curve=outlook.curve,
    )
    return result, seen.rows, seen


def _limit(setting: Setting, zone: ReadinessZone, species: Species | None) -> float:
    """Return the limit of a zone: where boards of several woods lie in it, the lowest of theirs."""
    x, ledger = setting.x, setting.ledger
    if x.moisture_limit is not None:
        ledger.use(
            "input/moisture_limit", f"{x.moisture_limit:.1%}", "product-sheet", note="given; it overrules every rule"
        )
        return x.moisture_limit
    ledger.use("input/limit_rule", setting.limits.id, "judgement", note=setting.limits.title)
    others = [reading.species for reading in x.readings if reading.zone == zone.id and reading.species is not None]
    woods = [species, *others] if species is not None or not others else others
    absorbencies = dict.fromkeys(None if wood is None else wood.absorbency for wood in woods)
    numbers = [setting.limits.limit_for(x.coating, absorbency) for absorbency in absorbencies]
    return min(spread.value(ledger.take(number)) for number in numbers)


def _heading(climate: Climate, zone: ReadinessZone, ledger: Ledger) -> float:
    """Return the moisture content a zone is heading to in the weather ahead."""
    temperature, humidity = climate.ahead()
    about = f"zone {zone.id}, weather ahead"
    return spread.value(
        ledger.step(sorption.equilibrium_moisture, about, temperature=temperature, relative_humidity=humidity)
    )


def _never(setting: Setting, zone: ReadinessZone, limit: float, outlook: Outlook) -> tuple[bool, float | None]:
    """Say whether the weather ahead never gets the wood to the limit, and the humidity that would."""
    if setting.climate is None:
        return False, None
    temperature, humidity = setting.climate.ahead()
    about = f"zone {zone.id}, weather ahead"
    needed = spread.value(
        setting.ledger.step(sorption.equilibrium_humidity, about, temperature=temperature, moisture=limit)
    )
    stuck = outlook.wait is None and bool(outlook.curve)
    return humidity >= needed and (stuck or settled((temperature, humidity)) > limit), needed


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
    return max((*(spread.low(wait) for wait in waits if wait is not None), *ahead), default=0.0)
