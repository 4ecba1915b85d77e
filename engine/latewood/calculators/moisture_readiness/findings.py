"""What must be said beside a verdict: assumptions, common practice, never, wet zones."""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence

from latewood.calculators.moisture_readiness.climate import DAY, HOUR
from latewood.calculators.moisture_readiness.evidence import Evidence
from latewood.calculators.moisture_readiness.fields import ReadinessZone
from latewood.calculators.moisture_readiness.setting import Setting, Water
from latewood.formulas.air import ZERO_CELSIUS
from latewood.provenance import Ledger, Severity
from latewood.records import WettingKind
from latewood.rules.weathering import Told, Weathering, weathering
from latewood.uncertainty import spread


def weathered(setting: Setting, zone: ReadinessZone, *, matters: bool) -> Weathering:
    """Return whether a zone's boards are weathered, and say so where it matters and nobody did."""
    x, ledger = setting.x, setting.ledger
    now = setting.clock.now
    told = Told(
        weathered=x.weathered if zone.weathered is None else zone.weathered,
        age=x.new_wood_age,
        year_built=x.year_built,
        as_of=None if now is None else now.date(),
    )
    found = weathering(told, setting.known, ledger)
    if matters:
        found.say(ledger, 0.9)
    return found


def depths(
    setting: Setting, zone: ReadinessZone, waters: Sequence[Water], *, weathered: bool
) -> tuple[float, float, float]:
    """Return how far water goes into sound wood, into weathered wood, and how far it is taken to have gone here."""
    kinds = [water.kind for water in waters if water.kind.depths]
    kind = kinds[-1] if kinds else setting.known.record("wetting-kind", "rained")
    sound, checked = (spread.value(setting.ledger.take(kind.depths[state])) for state in ("sound", "weathered"))
    given = zone.wetted_depth if zone.wetted_depth is not None else setting.x.wetted_depth
    if given is not None:
        return sound, checked, given
    chosen = checked if weathered else sound
    if any(water.kind.depths for water in waters):
        message = (
            f"How deep the boards are wetted is assumed: {sound * 1000:g} mm in sound or freshly sanded wood, "
            f"{checked * 1000:g} mm in weathered, checked wood. The first is near the one measurement that was found, "
            "the second was chosen to meet common practice."
        )
        setting.ledger.find("wetted-depth-assumed", "note", message, pointer="/wetted_depth")
    return sound, checked, chosen


def common_wait(
    setting: Setting,
    zone: ReadinessZone,
    waters: Sequence[Water],
    takes: Mapping[str, float],
    shallow: float,
    deep: float,
) -> None:
    """Show the wait of common practice beside the model's, and the range that the wetted depth makes."""
    kinds = [water for water in waters if water.kind.common_wait is not None]
    if not kinds or kinds[-1].kind.common_wait is None:
        return
    water = kinds[-1]
    usual = setting.ledger.take(kinds[-1].kind.common_wait)
    told = []
    for name, depth in (("shallow", shallow), ("deep", deep)):
        time = takes.get(name, math.inf)
        days = f"{time / DAY:.1f} days" if math.isfinite(time) else "not in this weather"
        told.append(f"wetted {depth * 1000:g} mm deep {days}")
    message = (
        f"{water.kind.title} boards in zone {zone.id}: by the model {told[0]}, {told[1]}, counted from the wetting. "
        f"Common practice, without a source: {spread.low(usual) / DAY:.0f} to {spread.high(usual) / DAY:.0f} days."
    )
    setting.ledger.find("wait-after-wetting", "note", message, pointer=setting.pointer(zone), zone=zone.id)


def less_sure(setting: Setting, zone: ReadinessZone, seen: Evidence, temperature: float) -> float:
    """Return by how much the model's span is wider here: in the cold, and in very wet wood."""
    model, ledger = setting.model, setting.ledger
    cold = temperature < model.coldest.si
    wet = seen.highest is not None and seen.highest > model.wettest.si
    if not cold and not wet:
        return 1.0
    frozen(setting, zone, temperature)
    ledger.take(model.coldest if cold else model.wettest)
    what = "cold" if cold else "very wet wood"
    message = f"In {what} the model of drying is less sure than else, so its span is wider (zone {zone.id})."
    ledger.find("model-less-sure", "note", message, pointer=setting.pointer(zone), zone=zone.id)
    return spread.value(ledger.take(model.widening))


def traps(setting: Setting, zone: ReadinessZone) -> None:
    """Point at gaps so narrow that they hold water."""
    trap = setting.model.trap
    if zone.gap is not None and zone.gap <= trap.si:
        narrow = spread.value(setting.ledger.take(trap))
        message = (
            f"Gaps of {zone.gap * 1000:g} mm in zone {zone.id} hold water: joints of {narrow * 1000:g} mm or less stay "
            "above 25 % for longer than wide ones. Read at the edges of the boards too, and expect them to be last."
        )
        setting.ledger.find("gap-holds-water", "warning", message, pointer=setting.pointer(zone), zone=zone.id)


def uncertain(zone: ReadinessZone, seen: Evidence, limit: float, ledger: Ledger) -> None:
    """Say where a reading is below the limit only if the meter is right about this wood."""
    for read in seen.counted:
        if read.corrected is not None and read.value <= limit < spread.high(read.corrected):
            message = (
                f"In zone {zone.id} a reading is at {read.value:.1%}, but in this wood meters may read low: it may be "
                f"{spread.high(read.corrected):.1%}. An oven-dry sample of one board tells."
            )
            pointer = f"/readings/{read.place}/reading"
            ledger.find("meter-uncertain-here", "note", message, pointer=pointer, zone=zone.id)


def never(setting: Setting, zone: ReadinessZone, limit: float, humidity: float, verdict: str) -> None:
    """Say that this weather does not get the wood to its limit, and which would."""
    if verdict in ("ready", "ready-if-reread"):
        message = (
            f"Zone {zone.id} is dry now, but this weather makes it wetter than its limit of {limit:.1%} again. It "
            f"stays below only where the mean humidity does below {humidity:.0%}."
        )
    else:
        message = (
            f"Never in this weather: zone {zone.id} settles above its limit of {limit:.1%}. It would take a mean "
            f"humidity below {humidity:.0%}."
        )
    severity: Severity = "note" if verdict in ("ready", "ready-if-reread") else "warning"
    where, share = setting.pointer(zone), round(humidity, 4)
    setting.ledger.find("never-in-this-weather", severity, message, pointer=where, zone=zone.id, humidity=share)


def out_of_sight(setting: Setting, zone: ReadinessZone) -> None:
    """Say that the end of the wait is not to be seen, though the weather would allow it."""
    message = (
        f"Zone {zone.id} is not at its limit within 60 days of weather like this, though it would be in the end: it "
        "lies very near what the wood settles at. Wait for drier weather, or read again then."
    )
    setting.ledger.find("not-within-sight", "warning", message, pointer=setting.pointer(zone), zone=zone.id)


def slow_end_open(setting: Setting, zone: ReadinessZone) -> None:
    """Say that the slow end of a wait is where looking ahead ends, not where the wood is dry."""
    message = (
        f"The longest wait given for zone {zone.id} is how far is looked ahead, 60 days: in the slowest case it is "
        "not over by then."
    )
    setting.ledger.find("slow-end-open", "note", message, pointer=setting.pointer(zone), zone=zone.id)


def beyond_weather(setting: Setting, zone: ReadinessZone, wait: spread.Number) -> None:
    """Say that the wait ends after the weather that was given does."""
    climate = setting.climate
    if climate is None or climate.steady:
        return
    end = climate.first + climate.step * climate.given
    if spread.high(wait) > end:
        message = (
            f"The weather given ends {max(end, 0.0) / HOUR:.0f} h from now, before the wait of zone {zone.id} surely "
            "does. After it the weather is taken to go on as its last days were, without rain."
        )
        setting.ledger.find("beyond-the-weather", "warning", message, pointer=setting.pointer(zone), zone=zone.id)


def frozen(setting: Setting, zone: ReadinessZone, temperature: float) -> None:
    """Say that the model knows no ice."""
    if temperature < ZERO_CELSIUS:
        message = (
            f"It freezes: water in and on the boards of zone {zone.id} is ice, which neither the model of drying nor "
            "meters know. Wait for thaw, then read."
        )
        setting.ledger.find("frozen", "warning", message, pointer=setting.pointer(zone), zone=zone.id)


def after_start(setting: Setting, zone: ReadinessZone, cause: WettingKind) -> None:
    """Say that a wetting that is planned after the start is not reckoned with."""
    message = (
        f"Zone {zone.id} is to be wetted after the planned start ({cause.title.lower()}): that does not count for the "
        "bare wood. See that the coating is cured by then, or put the start behind it."
    )
    setting.ledger.find("wetted-after-start", "warning", message, pointer=setting.pointer(zone), zone=zone.id)


def wet_zones(setting: Setting, zones: Sequence[tuple[ReadinessZone, Evidence]]) -> None:
    """Point at zones wetter than the others."""
    means = [(zone, seen.mean) for zone, seen in zones if seen.mean is not None]
    if len(means) < 2:
        return
    points = setting.practice.take(setting.practice.record.outlier)
    for zone, mean in means:
        others = statistics.median(other for one, other in means if one is not zone)
        if mean - others > points:
            message = (
                f"Zone {zone.id} is at {mean:.1%} where the others are near {others:.1%}. A wet zone has a source of "
                "water: shade and little air below, a packed gap, a planter, a downpipe, earth. Look for it before "
                "waiting."
            )
            setting.ledger.find("wet-zone", "warning", message, pointer=setting.pointer(zone), zone=zone.id)
