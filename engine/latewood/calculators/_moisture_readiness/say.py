"""What must be said beside a verdict: assumptions, common practice, never, wet zones."""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from latewood import spread
from latewood.calculators._moisture_readiness.climate import DAY
from latewood.calculators._moisture_readiness.evidence import OUTLIER, Evidence
from latewood.calculators._moisture_readiness.fields import ReadinessZone
from latewood.provenance import Ledger, Severity

if TYPE_CHECKING:
    from latewood.calculators._moisture_readiness.outlook import Setting, Water
    from latewood.calculators.moisture_readiness import Inputs


def weathered(x: Inputs, zone: ReadinessZone, ledger: Ledger, *, matters: bool) -> bool:
    """Return whether a zone's boards are weathered; where nobody says so, yes, as that takes longer once wetted."""
    known = zone.weathered if zone.weathered is not None else x.weathered
    if known is None and not matters:
        return True
    if known is None:
        ledger.default(
            "weathered", "true", effect=0.9, why="water goes deeper into checked boards, and they wait longer"
        )
        return True
    return known


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
    if waters:
        message = (
            f"How deep the boards are wetted is assumed: {sound * 1000:g} mm in sound or freshly sanded wood, "
            f"{checked * 1000:g} mm in weathered, checked wood; here {chosen * 1000:g} mm. The first is near the one "
            "measurement that was found, the second was chosen to meet common practice."
        )
        setting.ledger.find("wetted-depth-assumed", "note", message, pointer="/wetted_depth", assumed=chosen * 1000)
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
    setting.ledger.find("wait-after-wetting", "note", message, pointer="/wettings", zone=zone.id)


def less_sure(setting: Setting, zone: ReadinessZone, seen: Evidence, temperature: float) -> float:
    """Return by how much the model's span is wider here: in the cold, and in very wet wood."""
    model, ledger = setting.model, setting.ledger
    cold = temperature < model.coldest.si
    wet = seen.highest is not None and seen.highest > model.wettest.si
    if not cold and not wet:
        return 1.0
    ledger.take(model.coldest if cold else model.wettest)
    what = "cold" if cold else "very wet wood"
    message = f"In {what} the model of drying is less sure than else, so its span is wider (zone {zone.id})."
    ledger.find("model-less-sure", "note", message, pointer="/zones", zone=zone.id)
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
        setting.ledger.find("gap-holds-water", "warning", message, pointer="/zones", zone=zone.id)


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


def never(zone: ReadinessZone, limit: float, humidity: float, verdict: str, ledger: Ledger) -> None:
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
    ledger.find(
        "never-in-this-weather", severity, message, pointer="/moisture_limit", zone=zone.id, humidity=round(humidity, 4)
    )


def out_of_sight(zone: ReadinessZone, ledger: Ledger) -> None:
    """Say that the end of the wait is not to be seen, though the weather would allow it."""
    message = (
        f"Zone {zone.id} is not at its limit within 60 days of weather like this, though it would be in the end: it "
        "lies very near what the wood settles at. Wait for drier weather, or read again then."
    )
    ledger.find("not-within-sight", "warning", message, pointer="/zones", zone=zone.id)


def wet_zones(zones: Sequence[tuple[ReadinessZone, Evidence]], ledger: Ledger) -> None:
    """Point at zones wetter than the others."""
    means = {zone.id: seen.mean for zone, seen in zones if seen.mean is not None}
    for name, mean in means.items():
        others = [other for id, other in means.items() if id != name]
        if others and mean - statistics.median(others) > OUTLIER:
            message = (
                f"Zone {name} is at {mean:.1%} where the others are near {statistics.median(others):.1%}. A wet zone "
                "has a source of water: shade and little air below, a packed gap, a planter, a downpipe, earth. Look "
                "for it before waiting."
            )
            ledger.find("wet-zone", "warning", message, pointer="/zones", zone=name)
