"""From evidence and model to a verdict; every zone stands for itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness.compute.drops import Drops
from latewood.calculators.moisture_readiness.compute.evidence import TOO_FAR
from latewood.calculators.moisture_readiness.measured import Evidence, Outlook, latest
from latewood.calculators.moisture_readiness.resolved import HOUR, Resolved, Zone
from latewood.calculators.moisture_readiness.result import Readiness
from latewood.formulas.workdays import DAY
from latewood.provenance import Ledger
from latewood.uncertainty import spread

#: From the best to the worst; the worst zone is the job's.
ORDER: Final[tuple[Readiness, ...]] = ("ready", "ready-if-reread", "unknown", "not-ready")


@dataclass(frozen=True)
class Situation:
    """All that the verdict on one zone rests on."""

    zone: Zone
    shared: Resolved
    seen: Evidence
    #: Readings the zone takes, and the most there may be.
    wanted: int
    most: int
    #: How long a reading stands for the boards, s.
    stands: float
    outlook: Outlook
    #: Ends of wettings and showers between now and the start, s from now.
    ahead: tuple[float, ...]
    drops: Drops


def verdict(case: Situation, ledger: Ledger) -> tuple[Readiness, tuple[str, ...]]:
    """Return the verdict on a zone and why."""
    against = [*_wet_now(case), *case.drops.against, *_too_wet(case), *_waits(case, ledger)]
    if against:
        return "not-ready", tuple(against)
    if case.seen.count == 0:
        if case.outlook.now is not None:
            return "ready-if-reread", ("the model says dry, but nobody has read it",)
        return "unknown", ("there is no reading that counts, and no wetting or weather to reckon from",)
    again = _again(case)
    return ("ready-if-reread", tuple(again)) if again else ("ready", ("every reading is at or below the limit",))


def worst(verdicts: list[Readiness]) -> Readiness:
    """Return the verdict on the whole: that of its worst zone."""
    return max(verdicts, key=ORDER.index)


def _wet_now(case: Situation) -> list[str]:
    found: list[str] = []
    if case.zone.given.surface_wet or case.seen.surface_wet:
        found.append("water is seen on the boards, whatever a reading below it says")
    elif case.outlook.film and case.zone.given.surface_wet is None and not case.seen.overruling:
        found.append("by the model a film of water still lies on the boards, and nobody has said that it is gone")
    return found


def _too_wet(case: Situation) -> list[str]:
    found = []
    seen = case.seen
    if seen.highest is not None and seen.highest > case.zone.limit:
        more = "more than " if seen.beyond_scale else ""
        found.append(f"the highest reading, {more}{seen.highest:.1%}, is above the limit of {case.zone.limit:.1%}")
        if seen.highest > case.zone.stop:
            found.append(f"above {case.zone.stop:.0%} nothing is coated")
    elif case.wanted > case.most:
        found.append(
            f"so near the limit the readings scatter so much that {case.wanted} would be needed; "
            f"more than {case.most} say wait"
        )
    if case.outlook.now is not None and not seen.overruling and spread.value(case.outlook.now) > case.zone.limit:
        level = f"by the model the outer layer is at {spread.value(case.outlook.now):.1%}"
        found.append(f"{level}, and no reading taken since overrules it")
    return found


def _waits(case: Situation, ledger: Ledger) -> list[str]:
    rule, age = case.shared.new_wood, case.shared.new_wood_age
    if age is None or case.zone.given.treatment in (None, "none") or rule.wait is None:
        return []
    wait = ledger.value(rule.wait)
    if age >= wait:
        return []
    return [f"by the rule chosen, {rule.title.lower()}, new treated wood waits {wait / DAY:.0f} days"]


def _again(case: Situation) -> list[str]:
    seen, found = case.seen, []
    if case.ahead:
        found.append("it will be wetted before the start: read again after that")
    if any(TOO_FAR in read.doubts for read in seen.counted):
        found.append("the wood was too cold or too hot for its readings to be put right")
    if seen.only_sun:
        found.append("only sunny places were read: read in the shade, at low clearance and near end grain")
    missing = case.wanted - seen.count
    if missing > 0:
        found.append(f"{missing} more {'reading is' if missing == 1 else 'readings are'} wanted")
    if seen.bound is not None and seen.bound > case.zone.limit:
        found.append(f"the upper bound of the mean, {seen.bound:.1%}, is above the limit")
    if case.zone.last_wet is not None and not seen.overruling:
        found.append("no reading is known to be sound and later than the last wetting")
    last, start = latest(seen.counted), case.shared.clock.start
    if last is not None and max(start or 0.0, 0.0) - last > case.stands:
        until = "now" if start is None else "the start"
        found.append(f"more than {_hours(case.stands)} lies between the readings and {until}")
    return found


def _hours(seconds: float) -> str:
    return "a day" if seconds == DAY else f"{seconds / HOUR:g} hours"
