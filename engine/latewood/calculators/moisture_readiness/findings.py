"""What is said beside a verdict: of readings, of drops, of the wood and its weather."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from typing import Final, Literal

from latewood.calculators.moisture_readiness.measured import Evidence, Outlook, Read
from latewood.calculators.moisture_readiness.resolved import Reading, Resolved, Zone
from latewood.calculators.moisture_readiness.result import Readiness
from latewood.formulas.air import ZERO_CELSIUS
from latewood.messages import Clause, Length, Moment, Name, Share, Temperature, Time, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.records import MoistureMeter, Species, WettingKind
from latewood.rules.new_wood import retest, span_of
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def no_scale(reading: Reading, species: Species, ledger: Ledger) -> None:
    """Say that no meter's scale holds for modified wood."""
    params = {"species": species.id}
    ledger.find("modified-wood", pointer=reading.pointer("species"), params=params, species=Titled(species))


#: What is said of a reading above the meter's range or below it, as read or put right, and why it is no number.
_OUT: Final = {
    (True, False): ("above-meter-range", "too-high-to-tell"),
    (False, False): ("below-meter-range", "too-low-to-tell"),
    (True, True): ("above-meter-range-corrected", "too-high-once-corrected"),
    (False, True): ("below-meter-range-corrected", "too-low-once-corrected"),
}


def out_of_range(reading: Reading, bound: float, ledger: Ledger, *, above: bool, corrected: bool) -> Clause:
    """Say that a reading lies above or below what the meter can tell, and return why it is no number."""
    text, why = _OUT[above, corrected]
    id = "above-meter-range" if above else "below-meter-range"
    ledger.find(id, text=text, pointer=reading.pointer(), bound=Share(bound))
    return clause(why)


def salts(zone: Zone, meter: MoistureMeter, ledger: Ledger) -> None:
    """Say by how much salts of a preservative raise readings."""
    if zone.given.treatment not in ("copper", "arsenical", "unknown") or meter.treated_high is None:
        return
    high = ledger.take(meter.treated_high)
    least, most = Share(spread.low(high)), Share(spread.high(high))
    ledger.find("treated-reads-high", pointer="/readings", least=least, most=most)


def temperature_unknown(reading: Reading, ledger: Ledger) -> None:
    """Say that a reading stands uncorrected for the temperature of the wood."""
    ledger.find("wood-temperature-unknown", pointer=reading.pointer("wood_temperature"))


def recalled_table(ledger: Ledger) -> None:
    """Say that the table of resistances was recalled."""
    ledger.find("resistance-table-recalled", pointer="/species_rule")


def no_correction(reading: Reading, species: Species, ledger: Ledger) -> None:
    """Say once of a wood that readings in it stand as they are."""
    if species.id not in (f.params.get("species") for f in ledger.raised if f.id == "no-species-correction"):
        params = {"species": species.id}
        ledger.find("no-species-correction", pointer=reading.pointer("species"), params=params, species=Titled(species))


def beyond_temperatures(reading: Reading, low: float, high: float, ledger: Ledger) -> None:
    """Say that the wood is colder or warmer than corrections for temperature are known for."""
    ends = Temperature(low), Temperature(high)
    at = reading.pointer("wood_temperature")
    ledger.find("beyond-temperature-correction", pointer=at, low=ends[0], high=ends[1])


def implausibly_dry(read: Read, points: float, equilibrium: float, ledger: Ledger) -> None:
    """Say that a reading is drier than the weather lets wood become."""
    ledger.find(
        "implausibly-dry",
        pointer=read.reading.pointer(),
        reading=Share(read.value),
        points=Share(points),
        equilibrium=Share(equilibrium),
    )


def of_evidence(zone: Zone, seen: Evidence, equilibrium: float | None, shared: Resolved, ledger: Ledger) -> None:
    """Point at boards wetter than their neighbours, doubtful ones, gaps that hold water, and the unexplained."""
    gap, name, params = zone.given.gap, Name(zone.id), {"zone": zone.id}
    for read, middle in _outliers(seen, shared, ledger):
        at, reading, others = read.reading.pointer(), Share(read.value), Share(middle)
        ledger.find("wet-spot", pointer=at, params=params, zone=name, reading=reading, others=others)
    for read in seen.counted:
        if read.corrected is not None and read.value <= zone.limit < spread.high(read.corrected):
            at, reading, most = read.reading.pointer(), Share(read.value), Share(spread.high(read.corrected))
            ledger.find("meter-uncertain-here", pointer=at, params=params, zone=name, reading=reading, most=most)
    if gap is not None and gap <= shared.model.trap.si:
        trap = Length(ledger.value(shared.model.trap))
        ledger.find("gap-holds-water", pointer=zone.pointer, params=params, zone=name, gap=Length(gap), trap=trap)
    wettest = max(seen.counted, key=lambda read: read.value, default=None)
    if zone.past or equilibrium is None or wettest is None:
        return
    if wettest.value > equilibrium + ledger.value(shared.practice.unexplained):
        treated = shared.new_wood_age is not None and zone.given.treatment not in (None, "none")
        ledger.find(
            "implausibly-wet",
            text="new-wood-wet" if treated else "implausibly-wet",
            pointer=wettest.reading.pointer(),
            params=params,
            zone=name,
            reading=Share(wettest.value),
            equilibrium=Share(equilibrium),
        )


def _outliers(seen: Evidence, shared: Resolved, ledger: Ledger) -> Iterator[tuple[Read, float]]:
    """Yield boards wetter than their neighbours; two readings have no middle to stand out from."""
    values = [read.value for read in seen.counted]
    if len(values) < 3:
        return
    points, times = ledger.value(shared.practice.outlier), ledger.value(shared.practice.scatter)
    middle = statistics.median(values)
    scatter = 1.4826 * statistics.median(abs(value - middle) for value in values)
    for read in seen.counted:
        if read.value - middle > max(points, times * scatter):
            yield read, middle


def wet_zones(zones: Sequence[tuple[Zone, Evidence]], shared: Resolved, ledger: Ledger) -> None:
    """Point at zones wetter than the others."""
    means = [(zone, seen.mean) for zone, seen in zones if seen.mean is not None]
    if len(means) < 2:
        return
    points = ledger.value(shared.practice.outlier)
    for zone, mean in means:
        others = statistics.median(other for one, other in means if one is not zone)
        if mean - others > points:
            ledger.find(
                "wet-zone",
                pointer=zone.pointer,
                params={"zone": zone.id},
                zone=Name(zone.id),
                mean=Share(mean),
                others=Share(others),
            )


def depth_assumed(zone: Zone, sound: float, checked: float, ledger: Ledger) -> None:
    """Say how deep the boards are taken to be wetted where that was not given."""
    if zone.wetted_depth is None and any(water.kind.depths for water in zone.waters):
        ledger.find("wetted-depth-assumed", pointer="/wetted_depth", sound=Length(sound), checked=Length(checked))


def common_wait(zone: Zone, outlook: Outlook, shallow: float, deep: float, ledger: Ledger) -> None:
    """Show the wait of common practice beside the model's, and the range that the wetted depth makes."""
    kind = zone.commonly_waited
    if kind is None or kind.common_wait is None:
        return
    ledger.find(
        "wait-after-wetting",
        pointer=zone.pointer,
        params={"zone": zone.id},
        zone=Name(zone.id),
        kind=Titled(kind),
        shallow=_takes(shallow, outlook.takes.get("shallow", math.inf)),
        deep=_takes(deep, outlook.takes.get("deep", math.inf)),
        usual=span_of(ledger.take(kind.common_wait)),
    )


def _takes(depth: float, time: float) -> Clause:
    if math.isfinite(time):
        return clause("wetted-dry-after", depth=Length(depth), takes=Time(time))
    return clause("wetted-never-dry", depth=Length(depth))


def less_sure(zone: Zone, beyond: Literal["cold", "very-wet"] | None, temperature: float, ledger: Ledger) -> None:
    """Say that the model's span is wider in the cold and in very wet wood, and that it knows no ice."""
    if beyond is None:
        return
    name, params = Name(zone.id), {"zone": zone.id}
    if temperature < ZERO_CELSIUS:
        ledger.find("frozen", pointer=zone.pointer, params=params, zone=name)
    where = Word("beyond-model", beyond)
    ledger.find("model-less-sure", pointer=zone.pointer, params=params, zone=name, beyond=where)


def waiting(
    zone: Zone,
    found: Readiness,
    dry: Number | None,
    needed: float | None,
    outlook: Outlook,
    shared: Resolved,
    ledger: Ledger,
) -> None:
    """Say that the wait has no end, or none in sight, or one after the weather given; ``needed`` where never."""
    climate, pointer, name, params = shared.climate, zone.pointer, Name(zone.id), {"zone": zone.id}
    if needed is not None:
        ready = found in ("ready", "ready-if-reread")
        ledger.find(
            "never-in-this-weather",
            text="dry-now-not-later" if ready else "never-in-this-weather",
            pointer=pointer,
            params={"zone": zone.id, "humidity": round(needed, 4)},
            zone=name,
            limit=Share(zone.limit),
            humidity=Share(needed),
        )
    elif dry is None and outlook.curve:
        ledger.find("not-within-sight", pointer=pointer, params=params, zone=name)
    elif dry is not None:
        if climate is not None and not climate.steady and spread.high(dry) > climate.end:
            ends = Time(max(climate.end, 0.0))
            ledger.find("beyond-the-weather", pointer=pointer, params=params, zone=name, ends=ends)
        if outlook.open_ended and found != "ready":
            ledger.find("slow-end-open", pointer=pointer, params=params, zone=name)


def after_start(zone: str, pointer: str, cause: WettingKind, ledger: Ledger) -> None:
    """Say that a wetting that is planned after the start is not reckoned with."""
    params, why = {"zone": zone}, Titled(cause)
    ledger.find("wetted-after-start", pointer=pointer, params=params, zone=Name(zone), cause=why)


def disagree(zone: Zone, place: int, ledger: Ledger) -> None:
    """Say that some drops soak in and others do not."""
    at, params = f"/drop_tests/{place}", {"zone": zone.id}
    ledger.find("drop-tests-disagree", pointer=at, params=params, zone=Name(zone.id))


def on_grey_wood(zone: Zone, place: int, ledger: Ledger) -> None:
    """Say that a drop on grey wood tells nothing."""
    ledger.find("drop-test-says-nothing", pointer=f"/drop_tests/{place}", params={"zone": zone.id})


def treatment_assumed(zone: Zone, ledger: Ledger) -> None:
    """Say that new wood of unknown treatment counts as treated."""
    if zone.given.treatment not in (None, "unknown"):
        return
    at, params = f"{zone.pointer}/treatment", {"zone": zone.id}
    ledger.find("treated-for-drops", pointer=at, params=params, zone=Name(zone.id))


def test_again(
    zone: Zone, place: int, what: Word, wait: Number, again: Number, shared: Resolved, ledger: Ledger
) -> None:
    """Say when drops are put on new treated wood again."""
    at = shared.clock.at(shared.clock.by_day(retest(again)))
    when = clause("from-moment", at=Moment(at)) if at else clause("in-weeks", wait=span_of(again))
    other = shared.drop_rule.retest
    ledger.find(
        "drop-test-again",
        pointer=f"/drop_tests/{place}",
        params={"zone": zone.id},
        zone=Name(zone.id),
        what=what,
        when=clause("now") if retest(again) <= 0 else when,
        wait=span_of(wait),
        longer=[] if other is None else [clause("other-source-waits", wait=span_of(ledger.take(other)))],
    )
