"""From evidence and model to a verdict; every zone stands for itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness.compute.drops import Drops
from latewood.calculators.moisture_readiness.compute.evidence import TOO_FAR
from latewood.calculators.moisture_readiness.measured import Evidence, Outlook, latest
from latewood.calculators.moisture_readiness.resolved import Resolved, Zone
from latewood.calculators.moisture_readiness.result import Readiness
from latewood.messages import Clause, Count, Share, Time, Titled, clause
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


def verdict(case: Situation, ledger: Ledger) -> tuple[Readiness, tuple[Clause, ...]]:
    """Return the verdict on a zone and why."""
    against = [*_wet_now(case), *case.drops.against, *_too_wet(case), *_waits(case, ledger)]
    if against:
        return "not-ready", tuple(against)
    if case.seen.count == 0:
        if case.outlook.now is not None:
            return "ready-if-reread", (clause("dry-but-unread"),)
        return "unknown", (clause("nothing-to-judge-by"),)
    again = _again(case)
    return ("ready-if-reread", tuple(again)) if again else ("ready", (clause("every-reading-dry"),))


def worst(verdicts: list[Readiness]) -> Readiness:
    """Return the verdict on the whole: that of its worst zone."""
    return max(verdicts, key=ORDER.index)


def _wet_now(case: Situation) -> list[Clause]:
    found: list[Clause] = []
    if case.zone.given.surface_wet or case.seen.surface_wet:
        found.append(clause("water-seen"))
    elif case.outlook.film and case.zone.given.surface_wet is None and not case.seen.overruling:
        found.append(clause("film-by-model"))
    return found


def _too_wet(case: Situation) -> list[Clause]:
    found = []
    seen = case.seen
    if seen.highest is not None and seen.highest > case.zone.limit:
        above = "scale-above-limit" if seen.beyond_scale else "reading-above-limit"
        found.append(clause(above, highest=Share(seen.highest), limit=Share(case.zone.limit)))
        if seen.highest > case.zone.stop:
            found.append(clause("above-stop", stop=Share(case.zone.stop)))
    elif case.wanted > case.most:
        found.append(clause("readings-scatter", wanted=Count(case.wanted), most=Count(case.most)))
    if case.outlook.now is not None and not seen.overruling and spread.value(case.outlook.now) > case.zone.limit:
        found.append(clause("model-above-limit", moisture=Share(spread.value(case.outlook.now))))
    return found


def _waits(case: Situation, ledger: Ledger) -> list[Clause]:
    rule, age = case.shared.new_wood, case.shared.new_wood_age
    if age is None or case.zone.given.treatment in (None, "none") or rule.wait is None:
        return []
    wait = ledger.value(rule.wait)
    if age >= wait:
        return []
    return [clause("new-wood-waits", rule=Titled(rule), wait=Time(wait))]


def _again(case: Situation) -> list[Clause]:
    seen, found = case.seen, []
    if case.ahead:
        found.append(clause("wetted-before-start"))
    if any(TOO_FAR in read.doubts for read in seen.counted):
        found.append(clause("readings-not-put-right"))
    if seen.only_sun:
        found.append(clause("only-sun-read"))
    missing = case.wanted - seen.count
    if missing > 0:
        found.append(clause("readings-missing", missing=Count(missing)))
    if seen.bound is not None and seen.bound > case.zone.limit:
        found.append(clause("mean-may-be-above", bound=Share(seen.bound)))
    if case.zone.last_wet is not None and not seen.overruling:
        found.append(clause("none-since-wetting"))
    last, start = latest(seen.counted), case.shared.clock.start
    if last is not None and max(start or 0.0, 0.0) - last > case.stands:
        old = "readings-old-now" if start is None else "readings-old-at-start"
        found.append(clause(old, span=Time(case.stands)))
    return found
