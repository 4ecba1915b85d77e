"""What is said beside a verdict: of readings, of drops, of the wood and its weather."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence
from typing import Final

from latewood.calculators.moisture_readiness.measured import Evidence, Outlook, Read
from latewood.calculators.moisture_readiness.resolved import HOUR, Reading, Resolved, Zone
from latewood.calculators.moisture_readiness.result import Readiness
from latewood.formulas.air import ZERO_CELSIUS
from latewood.formulas.workdays import DAY
from latewood.messages import in_english
from latewood.provenance import Ledger
from latewood.records import MoistureMeter, Species, WettingKind
from latewood.rules.new_wood import retest, weeks
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def no_scale(reading: Reading, species: Species, ledger: Ledger) -> None:
    """Say that no meter's scale holds for modified wood."""
    message = f"{species.title} conducts in its own way: no meter scale holds for it, so its readings are no numbers."
    ledger.find("modified-wood", "warning", message, pointer=reading.pointer("species"), species=species.id)


#: What is said of a reading that lies above the meter's range or below it, as read or put right.
_OUT: Final = {
    (True, False): "Above {:.0%} a meter only says wet: the reading is taken as more than that, not as a number.",
    (False, False): "Below {:.0%} the meter cannot tell: such a reading does not count.",
    (True, True): "Put right, a reading is above {:.0%}: it is taken as more than that, not as a number.",
    (False, True): "Put right, a reading is below the {:.0%} from which the meter can tell: it does not count.",
}


def out_of_range(reading: Reading, bound: float, ledger: Ledger, *, above: bool, corrected: bool) -> str:
    """Say that a reading lies above or below what the meter can tell, and return why it is no number."""
    side = "above" if above else "below"
    message = _OUT[above, corrected].format(bound)
    ledger.find(f"{side}-meter-range", "warning", message, pointer=reading.pointer())
    return f"{side} what the meter can tell" + (", once corrected" if corrected else " as a number" if above else "")


def salts(zone: Zone, meter: MoistureMeter, ledger: Ledger) -> None:
    """Say by how much salts of a preservative raise readings."""
    if zone.given.treatment not in ("copper", "arsenical", "unknown") or meter.treated_high is None:
        return
    high = ledger.take(meter.treated_high)
    message = (
        f"In wood with a waterborne preservative such a meter reads {spread.low(high) * 100:.0f} to "
        f"{spread.high(high) * 100:.0f} points high. Nothing is taken off for that: the wood may be drier."
    )
    ledger.find("treated-reads-high", "note", message, pointer="/readings")


def temperature_unknown(reading: Reading, ledger: Ledger) -> None:
    """Say that a reading stands uncorrected for the temperature of the wood."""
    message = (
        "The temperature of the wood was not given, so the reading was not corrected for it. At 35 °C a reading of "
        "16 % is about 14.5, at 5 °C one of 15 % is about 16.5."
    )
    ledger.find("wood-temperature-unknown", "note", message, pointer=reading.pointer("wood_temperature"))


def recalled_table(ledger: Ledger) -> None:
    """Say that the table of resistances was recalled."""
    message = "Corrected through resistance by a table that was recalled, not read: confirm it before relying on it."
    ledger.find("resistance-table-recalled", "warning", message, pointer="/species_rule")


def no_correction(reading: Reading, species: Species, ledger: Ledger) -> None:
    """Say once of a wood that readings in it stand as they are."""
    if species.id not in (f.params.get("species") for f in ledger.raised if f.id == "no-species-correction"):
        message = f"No correction of meters is published for {species.title}; readings in it stand as they are."
        ledger.find("no-species-correction", "note", message, pointer=reading.pointer("species"), species=species.id)


def beyond_temperatures(reading: Reading, low: float, high: float, ledger: Ledger) -> None:
    """Say that the wood is colder or warmer than corrections for temperature are known for."""
    message = (
        f"Corrections for temperature are known from {low - ZERO_CELSIUS:g} to {high - ZERO_CELSIUS:g} °C; this wood "
        "lies outside, so the reading is evidence only."
    )
    ledger.find("beyond-temperature-correction", "warning", message, pointer=reading.pointer("wood_temperature"))


def implausibly_dry(read: Read, points: float, equilibrium: float, ledger: Ledger) -> None:
    """Say that a reading is drier than the weather lets wood become."""
    message = (
        f"A reading of {read.value:.1%} lies more than {100 * points:g} points below the {equilibrium:.1%} the wood is "
        "heading to: bad contact, a wrong species setting, or a meter on another scale. It does not count."
    )
    ledger.find("implausibly-dry", "warning", message, pointer=read.reading.pointer())


def of_evidence(zone: Zone, seen: Evidence, equilibrium: float | None, shared: Resolved, ledger: Ledger) -> None:
    """Point at boards wetter than their neighbours, doubtful ones, gaps that hold water, and the unexplained."""
    gap = zone.given.gap
    for read, middle in _outliers(seen, shared, ledger):
        message = (
            f"In zone {zone.id} a board reads {read.value:.1%} where the others are near {middle:.1%}. A wet board "
            "has a source of water: packed gaps, a planter, a downpipe, a leak, earth below. Find it first; it is "
            "not averaged away."
        )
        ledger.find("wet-spot", "warning", message, pointer=read.reading.pointer(), zone=zone.id)
    for read in seen.counted:
        if read.corrected is not None and read.value <= zone.limit < spread.high(read.corrected):
            message = (
                f"In zone {zone.id} a reading is at {read.value:.1%}, but in this wood meters may read low: it may be "
                f"{spread.high(read.corrected):.1%}. An oven-dry sample of one board tells."
            )
            pointer = read.reading.pointer()
            ledger.find("meter-uncertain-here", "note", message, pointer=pointer, zone=zone.id)
    if gap is not None and gap <= shared.model.trap.si:
        message = (
            f"Gaps of {gap * 1000:g} mm in zone {zone.id} hold water: joints of "
            f"{ledger.value(shared.model.trap) * 1000:g} mm or less stay above 25 % for longer than wide ones. Read at "
            "the edges of the boards too, and expect them to be last."
        )
        ledger.find("gap-holds-water", "warning", message, pointer=zone.pointer, zone=zone.id)
    wettest = max(seen.counted, key=lambda read: read.value, default=None)
    if zone.past or equilibrium is None or wettest is None:
        return
    if wettest.value > equilibrium + ledger.value(shared.practice.unexplained):
        message = (
            f"In zone {zone.id} a reading of {wettest.value:.1%} is more than this weather gives ({equilibrium:.1%}), "
            "and no wetting was named: wood not yet dry inside, salts of a preservative, an old coating, or water from "
            "below or behind."
        )
        pointer = wettest.reading.pointer()
        ledger.find("implausibly-wet", "warning", message, pointer=pointer, zone=zone.id)


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
            message = (
                f"Zone {zone.id} is at {mean:.1%} where the others are near {others:.1%}. A wet zone has a source of "
                "water: shade and little air below, a packed gap, a planter, a downpipe, earth. Look for it before "
                "waiting."
            )
            ledger.find("wet-zone", "warning", message, pointer=zone.pointer, zone=zone.id)


def depth_assumed(zone: Zone, sound: float, checked: float, ledger: Ledger) -> None:
    """Say how deep the boards are taken to be wetted where that was not given."""
    if zone.wetted_depth is None and any(water.kind.depths for water in zone.waters):
        message = (
            f"How deep the boards are wetted is assumed: {sound * 1000:g} mm in sound or freshly sanded wood, "
            f"{checked * 1000:g} mm in weathered, checked wood. The first is near the one measurement that was found, "
            "the second was chosen to meet common practice."
        )
        ledger.find("wetted-depth-assumed", "note", message, pointer="/wetted_depth")


def common_wait(zone: Zone, outlook: Outlook, shallow: float, deep: float, ledger: Ledger) -> None:
    """Show the wait of common practice beside the model's, and the range that the wetted depth makes."""
    kind = next((water.kind for water in reversed(zone.waters) if water.kind.common_wait is not None), None)
    if kind is None or kind.common_wait is None:
        return
    usual = ledger.take(kind.common_wait)
    told = []
    for name, depth in (("shallow", shallow), ("deep", deep)):
        time = outlook.takes.get(name, math.inf)
        days = f"{time / DAY:.1f} days" if math.isfinite(time) else "not in this weather"
        told.append(f"wetted {depth * 1000:g} mm deep {days}")
    message = (
        f"{kind.title} boards in zone {zone.id}: by the model {told[0]}, {told[1]}, counted from the wetting. "
        f"Common practice, without a source: {spread.low(usual) / DAY:.0f} to {spread.high(usual) / DAY:.0f} days."
    )
    ledger.find("wait-after-wetting", "note", message, pointer=zone.pointer, zone=zone.id)


def less_sure(zone: Zone, beyond: str | None, temperature: float, ledger: Ledger) -> None:
    """Say that the model's span is wider in the cold and in very wet wood, and that it knows no ice."""
    if beyond is None:
        return
    if temperature < ZERO_CELSIUS:
        message = (
            f"It freezes: water in and on the boards of zone {zone.id} is ice, which neither the model of drying nor "
            "meters know. Wait for thaw, then read."
        )
        ledger.find("frozen", "warning", message, pointer=zone.pointer, zone=zone.id)
    message = f"In {beyond} the model of drying is less sure than else, so its span is wider (zone {zone.id})."
    ledger.find("model-less-sure", "note", message, pointer=zone.pointer, zone=zone.id)


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
    climate, pointer = shared.climate, zone.pointer
    if needed is not None:
        ready = found in ("ready", "ready-if-reread")
        message = (
            f"Zone {zone.id} is dry now, but this weather makes it wetter than its limit of {zone.limit:.1%} again. It "
            f"stays below only where the mean humidity does below {needed:.0%}."
            if ready
            else f"Never in this weather: zone {zone.id} settles above its limit of {zone.limit:.1%}. It would take a "
            f"mean humidity below {needed:.0%}."
        )
        params = {"zone": zone.id, "humidity": round(needed, 4)}
        ledger.find("never-in-this-weather", "note" if ready else "warning", message, pointer=pointer, **params)
    elif dry is None and outlook.curve:
        message = (
            f"Zone {zone.id} is not at its limit within 60 days of weather like this, though it would be in the end: "
            "it lies very near what the wood settles at. Wait for drier weather, or read again then."
        )
        ledger.find("not-within-sight", "warning", message, pointer=pointer, zone=zone.id)
    elif dry is not None:
        if climate is not None and not climate.steady and spread.high(dry) > climate.end:
            message = (
                f"The weather given ends {max(climate.end, 0.0) / HOUR:.0f} h from now, before the wait of zone "
                f"{zone.id} surely does. After it the weather is taken to go on as its last days were, without rain."
            )
            ledger.find("beyond-the-weather", "warning", message, pointer=pointer, zone=zone.id)
        if outlook.open_ended and found != "ready":
            message = (
                f"The longest wait given for zone {zone.id} is how far is looked ahead, 60 days: in the slowest case "
                "it is not over by then."
            )
            ledger.find("slow-end-open", "note", message, pointer=pointer, zone=zone.id)


def after_start(zone: str, pointer: str, cause: WettingKind, ledger: Ledger) -> None:
    """Say that a wetting that is planned after the start is not reckoned with."""
    message = (
        f"Zone {zone} is to be wetted after the planned start ({cause.title.lower()}): that does not count for the "
        "bare wood. See that the coating is cured by then, or put the start behind it."
    )
    ledger.find("wetted-after-start", "warning", message, pointer=pointer, zone=zone)


def disagree(zone: Zone, place: int, ledger: Ledger) -> None:
    """Say that some drops soak in and others do not."""
    message = f"Drops in zone {zone.id} disagree: the slowest decides. Old finish or wax lies in patches there."
    ledger.find("drop-tests-disagree", "note", message, pointer=f"/drop_tests/{place}", zone=zone.id)


def on_grey_wood(zone: Zone, place: int, ledger: Ledger) -> None:
    """Say that a drop on grey wood tells nothing."""
    message = "A drop always soaks into grey, weathered wood: this test says nothing before the last sanding."
    ledger.find("drop-test-says-nothing", "note", message, pointer=f"/drop_tests/{place}", zone=zone.id)


def treatment_assumed(zone: Zone, ledger: Ledger) -> None:
    """Say that new wood of unknown treatment counts as treated."""
    if zone.given.treatment not in (None, "unknown"):
        return
    message = (
        f"Zone {zone.id}: treatment not given, treated assumed. New wood without preservative does not wait for "
        "its drops: sand it lightly and test again."
    )
    ledger.find("treated-for-drops", "note", message, pointer=f"{zone.pointer}/treatment", zone=zone.id)


def test_again(
    zone: Zone, place: int, what: str, wait: Number, again: Number, shared: Resolved, ledger: Ledger
) -> None:
    """Say when drops are put on new treated wood again."""
    when = shared.clock.at(shared.clock.by_day(retest(again)))
    date = "now" if retest(again) <= 0 else f"from {when:%a %d %b %H:%M}" if when else f"in {in_english(weeks(again))}"
    other = shared.drop_rule.retest
    longer = "" if other is None else f" Another source waits {in_english(weeks(ledger.take(other)))}."
    message = (
        f"Zone {zone.id}: {what} on new treated wood. Test again {date}, {in_english(weeks(wait))} after "
        f"the first test, then sand lightly.{longer}"
    )
    ledger.find("drop-test-again", "warning", message, pointer=f"/drop_tests/{place}", zone=zone.id)
