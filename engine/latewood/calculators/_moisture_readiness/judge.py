"""From evidence and model to a verdict; every zone stands for itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood import spread
from latewood.calculators._moisture_readiness.climate import DAY
from latewood.calculators._moisture_readiness.evidence import MOST, Evidence
from latewood.calculators._moisture_readiness.fields import DropTest, Readiness, ReadinessZone
from latewood.provenance import Ledger
from latewood.records import DropTestRule, NewWoodWait
from latewood.spread import Number

#: From the best to the worst; the worst zone is the job's.
ORDER: Final[tuple[Readiness, ...]] = ("ready", "ready-if-reread", "unknown", "not-ready")
#: So long a reading stands for the boards. A judgement of ours.
STANDS: Final = DAY


@dataclass(frozen=True, kw_only=True)
class Situation:
    """All that the verdict on one zone rests on. Times in s from now, moisture contents as shares."""

    zone: ReadinessZone
    seen: Evidence
    limit: float
    stop: float
    wanted: int
    #: Outer layer by the model now; None where no wetting or weather is known.
    model: Number | None
    #: Ends of wettings and showers between now and the start.
    ahead: tuple[float, ...]
    last_wet: float | None
    start: float | None
    drops: tuple[DropTest, ...]
    drop_rule: DropTestRule
    new_wood: NewWoodWait
    age: float | None


def verdict(case: Situation, ledger: Ledger) -> tuple[Readiness, tuple[str, ...]]:
    """Return the verdict on a zone and why."""
    against = [*_wet_now(case, ledger), *_too_wet(case), *_waits(case, ledger)]
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


def _wet_now(case: Situation, ledger: Ledger) -> list[str]:
    found = []
    if case.zone.surface_wet or any(read.given.surface_wet for read in case.seen.reads):
        found.append("water is seen on the boards, whatever a reading below it says")
    for place, test in enumerate(case.drops):
        if test.sanded is False or (case.zone.weathered and test.sanded is not True and not test.beads):
            message = "A drop always soaks into grey, weathered wood: this test says nothing before the last sanding."
            ledger.find("drop-test-says-nothing", "note", message, pointer="/drop_tests", zone=case.zone.id)
            continue
        slowest = spread.value(ledger.take(case.drop_rule.soak_time))
        if test.beads:
            found.append("water beads: an old finish, wax or polished fibres; sand lightly and test again")
        elif test.soak_time is not None and test.soak_time > slowest:
            found.append(f"a drop took {test.soak_time:.0f} s to soak in, longer than {slowest:.0f} s")
        if place == 0:
            ledger.use("input/drop_test_rule", case.drop_rule.id, "common-practice", note=case.drop_rule.title)
    return found


def _too_wet(case: Situation) -> list[str]:
    found = []
    seen = case.seen
    if seen.highest is not None and seen.highest > case.limit:
        more = "more than " if seen.beyond_scale else ""
        found.append(f"the highest reading, {more}{seen.highest:.1%}, is above the limit of {case.limit:.1%}")
        if seen.highest > case.stop:
            found.append(f"above {case.stop:.0%} nothing is coated")
    elif case.wanted > MOST:
        found.append(
            f"so near the limit the readings scatter so much that {case.wanted} would be needed; more than 8 say wait"
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
    missing = case.wanted - seen.count
    if missing > 0:
        found.append(f"{missing} more {'reading is' if missing == 1 else 'readings are'} wanted")
    if seen.bound is not None and seen.bound > case.limit:
        found.append(f"the upper bound of the mean, {seen.bound:.1%}, is above the limit")
    if case.last_wet is not None and not seen.overruling:
        found.append("no reading is known to be sound and later than the last wetting")
    latest = seen.latest()
    if case.start is not None and latest is not None and case.start - latest > STANDS:
        found.append("more than a day lies between the readings and the start")
    return found
