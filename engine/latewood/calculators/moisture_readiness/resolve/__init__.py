"""Which records, rules and defaults hold: for all zones, then for each in its turn."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from latewood import weather
from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.inputs import Inputs, ReadinessZone
from latewood.calculators.moisture_readiness.resolve.climate import climate_of
from latewood.calculators.moisture_readiness.resolved import (
    HOUR,
    PLENTY,
    Climate,
    Clock,
    Reading,
    Resolved,
    Water,
    Zone,
)
from latewood.declare import RecordLookup
from latewood.formulas import air
from latewood.messages import Titled, clause, refusal, unread
from latewood.problems import Fault, InputProblem
from latewood.provenance import UNWEIGHED, Ledger
from latewood.quantities.instants import Moment
from latewood.quantities.instants import zone_of as time_zone_of
from latewood.quantities.units import UnitError
from latewood.records import Species
from latewood.rules.air_pressure import pressure_at
from latewood.rules.days import built_ahead
from latewood.rules.new_wood import bead_wait, new_and_treated
from latewood.rules.weathering import Told, Weathering, weathering
from latewood.uncertainty.spread import Number
from latewood.weather import Exposure, Hours, Place


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return what all zones share."""
    place = Place(latitude=x.latitude, longitude=x.longitude, timezone=x.timezone)
    hours = None if x.weather is None else weather.resolve(x.weather, place, ledger)
    clock = clock_of(x, hours, ledger)
    model = known.record("drying-model", "transverse-diffusion")
    climate = climate_of(x, hours, clock, model, ledger)
    return Resolved(
        clock=clock,
        climate=climate,
        place=place,
        pressure=air.SEA_LEVEL if climate is None else pressure_at(x.elevation, ledger),
        model=model,
        limits=x.limit_rule or known.record("moisture-limits", "usual"),
        practice=known.record("reading-practice", "usual"),
        meter=known.record("moisture-meter", "resistance"),
        scale=known.record("species", "douglas-fir"),
        temperature_rule=x.temperature_rule,
        species_rule=x.species_rule,
        confidence=0.95 if x.confidence is None else x.confidence,
        rained=known.record("wetting-kind", "rained"),
        colours={grey: known.record("board-colour", "grey" if grey else "fresh") for grey in (True, False)},
        heat=known.record("board-heat", "usual"),
        outer_depth=x.outer_depth,
        drop_rule=x.drop_test_rule or known.record("drop-test-rule", "within-30-seconds"),
        new_wood=x.new_wood_wait or known.record("new-wood-wait", "measure"),
        new_wood_age=x.new_wood_age,
    )


def zone_of(x: Inputs, place: int, shared: Resolved, ledger: Ledger) -> Zone:
    """Return what holds for one zone."""
    zone, clock, climate, pointer = x.zones[place], shared.clock, shared.climate, f"/zones/{place}"
    species, exposure = zone.species or x.species, zone.exposure or x.exposure or "open"
    limit = _limit(x, zone, species, shared, ledger)
    stop = ledger.value(shared.limits.stop)
    waters = _waters(x, zone, pointer, shared, ledger)
    return Zone(
        given=zone,
        pointer=pointer,
        species=species,
        exposure=exposure,
        thickness=zone.thickness or x.thickness,
        wetted_depth=zone.wetted_depth if zone.wetted_depth is not None else x.wetted_depth,
        limit=limit,
        stop=stop,
        readings=tuple(
            Reading(at, one, clock.taken[at], one.meter or shared.meter, one.species or species)
            for at, one in enumerate(x.readings)
            if one.zone == zone.id
        ),
        drops=tuple((at, one, clock.tested[at] or 0.0) for at, one in enumerate(x.drop_tests) if one.zone == zone.id),
        waters=waters,
        rain=_rain(climate, exposure, clock.start),
        closed=climate is not None and _closed(x, climate, waters),
    )


def _limit(x: Inputs, zone: ReadinessZone, species: Species | None, shared: Resolved, ledger: Ledger) -> float:
    """Return the limit of a zone: where boards of several woods lie in it, the lowest of theirs."""
    if x.moisture_limit is not None:
        given = f"{x.moisture_limit:.1%}"
        ledger.use("input/moisture_limit", given, "product-sheet", note=clause("limit-given"))
        return x.moisture_limit
    ledger.use("input/limit_rule", shared.limits.id, "judgement", note=clause("titled", record=Titled(shared.limits)))
    others = [reading.species for reading in x.readings if reading.zone == zone.id and reading.species is not None]
    woods = [species, *others] if species is not None or not others else others
    absorbencies = dict.fromkeys(None if wood is None else wood.absorbency for wood in woods)
    return min(ledger.value(shared.limits.limit_for(x.coating, absorbency)) for absorbency in absorbencies)


def _waters(x: Inputs, zone: ReadinessZone, pointer: str, shared: Resolved, ledger: Ledger) -> tuple[Water, ...]:
    start, found = shared.clock.start, []
    for event, at in zip(x.wettings, shared.clock.wetted, strict=True):
        if event.zone not in (None, zone.id):
            continue
        if start is not None and at is not None and at > max(start, 0.0):
            findings.after_start(zone.id, pointer, event.cause, ledger)
            continue
        amount = PLENTY if event.cause.water is None else ledger.value(event.cause.water)
        found.append(Water(at or 0.0, event.cause, amount))
    return tuple(sorted(found, key=lambda water: water.at))


def _rain(climate: Climate | None, exposure: Exposure, start: float | None) -> tuple[float, ...]:
    if climate is None or climate.steady or exposure == "roofed":
        return ()
    return tuple(climate.rained(climate.first, max(24 * HOUR if start is None else start, 0.0)))


def _closed(x: Inputs, climate: Climate, waters: tuple[Water, ...]) -> bool:
    """Say whether the series may be used: it begins with one wetting that fills the wood, and knows no later one."""
    apt = all(water.at <= 0 and water.amount == PLENTY for water in waters)
    if x.method == "closed-form" and not apt:
        raise InputProblem([refusal("closed-form-elsewhere", "/method")])
    return climate.steady and apt and x.method != "numerical"


def _told(x: Inputs, shared: Resolved, weathered: bool | None = None) -> Told:
    now = shared.clock.now
    as_of = None if now is None else now.date()
    return Told(age=x.new_wood_age, year_built=x.year_built, as_of=as_of, weathered=weathered)


def weathering_of(x: Inputs, zone: Zone, shared: Resolved, known: RecordLookup, ledger: Ledger) -> Weathering:
    """Return whether a zone's boards are weathered; write it into the basis where drying or drops turn on it."""
    said = x.weathered if zone.given.weathered is None else zone.given.weathered
    found = weathering(_told(x, shared, weathered=said), known, ledger)
    dries = shared.climate is not None and (bool(zone.waters) or not shared.climate.steady)
    if dries or zone.drops:
        found.note(ledger, UNWEIGHED)
    return found


def wood_of(zone: Zone, known: RecordLookup, ledger: Ledger) -> Species:
    """Return the wood a zone dries as."""
    if zone.species is not None:
        return zone.species
    usual: Species = known.record("species", "unidentified-medium-hardwood")
    ledger.default("species", usual.id, effect=UNWEIGHED, why=clause("denser-dries-slower"))
    return usual


def drop_wait(x: Inputs, zone: Zone, shared: Resolved, known: RecordLookup, ledger: Ledger) -> Number | None:
    """Return how long water that stands on a zone is waited for; None where the wood is not new and treated."""
    coated = bool(zone.given.coated_before)
    if not new_and_treated(zone.given.treatment, zone.species, _told(x, shared), known, ledger, coated=coated):
        return None
    findings.treatment_assumed(zone, ledger)
    return bead_wait(x.new_wood_wait, known, ledger)


def clock_of(x: Inputs, hours: Hours | None, ledger: Ledger) -> Clock:
    """Read all times; without ``now`` the last reading, drop or wetting is now, else the start of the weather."""
    zone = time_zone_of(x.timezone) if x.timezone is not None else None
    faults: list[Fault] = []
    taken = [_instant(r.taken, zone, f"/readings/{i}/taken", faults) for i, r in enumerate(x.readings)]
    tested = [_instant(t.taken, zone, f"/drop_tests/{i}/taken", faults) for i, t in enumerate(x.drop_tests)]
    wetted = [_instant(w.at, zone, f"/wettings/{i}/at", faults) for i, w in enumerate(x.wettings)]
    now = _instant(x.now, zone, "/now", faults)
    start = _instant(x.start, zone, "/start", faults)
    InputProblem.raise_any(faults)
    if now is None:
        # A wetting after the start is a plan, and now is not after a plan.
        past = [at for at in wetted if at is not None and (start is None or at <= start)]
        known = [*(at for at in (*taken, *tested) if at is not None), *past]
        now = max(known, default=None) or (None if hours is None else hours.start) or start
        if now is not None:
            ledger.use("input/now", now.isoformat(), "default", note=clause("last-time-is-now"))
    if now is not None:
        faults += [
            refusal("taken-after-now", f"/{field}/{i}/taken")
            for field, times in (("readings", taken), ("drop_tests", tested))
            for i, at in enumerate(times)
            if at is not None and at > now
        ]
        faults += built_ahead(x.year_built, now.date())
        if start is not None and start < now:
            faults.append(refusal("start-before-now", "/start"))
    InputProblem.raise_any(faults)
    local = zone or (None if hours is None else hours.zone) or (None if x.now is None else x.now.written.tzinfo)
    shown = now if now is None or local is None else now.astimezone(local)

    def seconds(instant: datetime | None) -> float | None:
        return None if instant is None or now is None else (instant - now).total_seconds()

    return Clock(
        shown, tuple(map(seconds, taken)), tuple(map(seconds, wetted)), tuple(map(seconds, tested)), seconds(start)
    )


def _instant(moment: Moment | None, zone: ZoneInfo | None, pointer: str, faults: list[Fault]) -> datetime | None:
    if moment is None:
        return None
    try:
        return moment.instant(zone)
    except UnitError as error:
        faults.append(unread(error, pointer))
        return None
