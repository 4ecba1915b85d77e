"""From evidence and model to a verdict; every zone stands for itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness.climate import DAY, HOUR
from latewood.calculators.moisture_readiness.correction import TOO_FAR
from latewood.calculators.moisture_readiness.drops import Drops
from latewood.calculators.moisture_readiness.evidence import Evidence
from latewood.calculators.moisture_readiness.fields import Readiness, ReadinessZone
from latewood.provenance import Ledger
from latewood.records import NewWoodWait
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: From the best to the worst; the worst zone is the job's.
ORDER: Final[tuple[Readiness, ...]] = ("ready", "ready-if-reread", "unknown", "not-ready")


@dataclass(frozen=True, kw_only=True)
class Situation:
    """All that the verdict on one zone rests on. Times in s from now, moisture contents as shares."""

    zone: ReadinessZone
    seen: Evidence
    limit: float
    stop: float
    wanted: int
    most: int
    #: How long a reading stands for the boards, s.
    stands: float
    #: Whether a film of water still lies on the boards by the model.
    film: bool
    #: Outer layer by the model now; None where no wetting or weather is known.
    model: Number | None
    #: Ends of wettings and showers between now and the start.
    ahead: tuple[float, ...]
    last_wet: float | None
    start: float | None
    drops: Drops
    new_wood: NewWoodWait
    age: float | None


def verdict(case: Situation, ledger: Ledger) -> tuple[Readiness, tuple[str, ...]]:
    """Return the verdict on a zone and why."""
    against = [*_wet_now(case), *case.drops.against, *_too_wet(case), *_waits(case, ledger)]
    if against:
        return "not-ready", tuple(against)
    if case.seen.count == 0:
        if case.model is not None:
            return "ready-if-reread", ("the model says dry, but nobody has read it",)
        return "unknown", ("there is no reading that counts, and no wetting or weather to reckon from",)
    again = _again(case)
    return ("ready-if-reread", tuple(again)) if again else ("ready", ("every reading is at or below the limit",))


def worst(verdicts: list[Readiness]) -> Readiness:
    """Return the verdict on the whole: that of its worst zone."""
    return max(verdicts, key=ORDER.index)


def _wet_now(case: Situation) -> list[str]:
    found: list[str] = []
    if case.zone.surface_wet or any(read.given.surface_wet for read in case.seen.reads):
        found.append("water is seen on the boards, whatever a reading below it says")
    elif case.film and case.zone.surface_wet is None and not case.seen.overruling:
        found.append("by the model a film of water still lies on the boards, and nobody has said that it is gone")
    return found


def _too_wet(case: Situation) -> list[str]:
    found = []
    seen = case.seen
    if seen.highest is not None and seen.highest > case.limit:
        more = "more than " if seen.beyond_scale else ""
        found.append(f"the highest reading, {more}{seen.highest:.1%}, is above the limit of {case.limit:.1%}")
        if seen.highest > case.stop:
            found.append(f"above {case.stop:.0%} nothing is coated")
    elif case.wanted > case.most:
        found.append(
            f"so near the limit the readings scatter so much that {case.wanted} would be needed; "
            f"more than {case.most} say wait"
        )
    if case.model is not None and not seen.overruling and spread.value(case.model) > case.limit:
        level = f"by the model the outer layer is at {spread.value(case.model):.1%}"
        found.append(f"{level}, and no reading taken since overrules it")
    return found


def _waits(case: Situation, ledger: Ledger) -> list[str]:
    rule = case.new_wood
    if case.age is None or case.zone.treatment in (None, "none") or rule.wait is None:
        return []
    wait = spread.value(ledger.take(rule.wait))
    if case.age >= wait:
        return []
    return [f"by the rule chosen, {rule.title.lower()}, new treated wood waits {wait / DAY:.0f} days"]


def _again(case: Situation) -> list[str]:
    seen, found = case.seen, []
    if case.ahead:
        found.append("it will be wetted before the start: read again after that")
    if any(TOO_FAR in read.doubts for read in seen.counted):
        found.append("the wood was too cold or too hot for its readings to be put right")
    if seen.counted and all(read.given.position == "sun" for read in seen.counted):
        found.append("only sunny places were read: read in the shade, at low clearance and near end grain")
    missing = case.wanted - seen.count
    if missing > 0:
        found.append(f"{missing} more {'reading is' if missing == 1 else 'readings are'} wanted")
    if seen.bound is not None and seen.bound > case.limit:
        found.append(f"the upper bound of the mean, {seen.bound:.1%}, is above the limit")
    if case.last_wet is not None and not seen.overruling:
        found.append("no reading is known to be sound and later than the last wetting")
    latest = seen.latest()
    if latest is not None and max(case.start or 0.0, 0.0) - latest > case.stands:
        until = "now" if case.start is None else "the start"
        found.append(f"more than {_hours(case.stands)} lies between the readings and {until}")
    return found


def _hours(seconds: float) -> str:
    return "a day" if seconds == DAY else f"{seconds / HOUR:g} hours"
