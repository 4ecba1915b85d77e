"""What drops on a zone come to: nothing, that water soaks in, or that the wood is to be sanded or left to wait."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.inputs import DropTest
from latewood.calculators.moisture_readiness.resolved import Resolved, Zone
from latewood.messages import Clause, Time, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.rules.new_wood import left, retest, span_of
from latewood.rules.weathering import Weathering
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Drops:
    """What drops speak against coating, and how long (s from now) the wood waits until it is tested again.

    ``again`` is None where no drop asks to wait.
    """

    against: tuple[Clause, ...] = ()
    again: Number | None = None


@dataclass(frozen=True)
class Drop:
    """One test that counts: where it stands among the inputs, when it was made (s from now), what came of it."""

    place: int
    given: DropTest
    at: float
    slowest: float

    @property
    def slow(self) -> bool:
        """Whether it took longer to soak in than the rule allows."""
        return self.given.soak_time is not None and self.given.soak_time > self.slowest

    @property
    def failed(self) -> bool:
        """Whether it does not soak in, or too slowly."""
        return self.given.beads is True or self.slow

    @property
    def against(self) -> Clause:
        """Why it speaks against coating."""
        if self.given.beads:
            return clause("drop-beads")
        return clause("drop-slow", took=Time(self.given.soak_time or 0.0), most=Time(self.slowest))


def failed_drops(zone: Zone, state: Weathering, shared: Resolved, ledger: Ledger) -> tuple[list[Drop], float]:
    """Return the drops that fail, and when the first one failed. A later test stands for an earlier one."""
    rule = shared.drop_rule
    counted = list(_counted(zone, state, ledger.value(rule.soak_time), ledger)) if zone.drops else []
    if not counted:
        return [], 0.0
    ledger.use("input/drop_test_rule", rule.id, "common-practice", note=clause("titled", record=Titled(rule)))
    after = max(drop.at for drop in counted) - ledger.value(shared.practice.stands)
    current = [drop for drop in counted if drop.at >= after]
    if len({drop.failed for drop in current}) > 1:
        findings.disagree(zone, current[0].place, ledger)
    first = min((drop.at for drop in counted if drop.failed), default=0.0)
    return [drop for drop in current if drop.failed], first


def _counted(zone: Zone, state: Weathering, slowest: float, ledger: Ledger) -> Iterator[Drop]:
    for place, test, at in zone.drops:
        drop = Drop(place, test, at, slowest)
        # Where grey was not asked about, only a drop that soaks in may be put down to it.
        unsaid = state.ground == "default"
        grey = state.weathered and test.sanded is not True and not test.beads and not (unsaid and drop.slow)
        if test.sanded is False or grey:
            findings.on_grey_wood(zone, place, ledger)
        else:
            yield drop


def drops_of(
    zone: Zone, failed: list[Drop], first: float, wait: Number | None, shared: Resolved, ledger: Ledger
) -> Drops:
    """Return what failed drops come to; ``wait`` is how long new treated wood waits, from the first that failed."""
    if not failed or wait is None:
        every = [drop.against for drop in failed]
        return Drops(tuple(one for place, one in enumerate(every) if one not in every[:place]))
    beads = any(drop.given.beads for drop in failed)
    what = Word("drop", "beads" if beads else "slow")
    last = max(drop.at for drop in failed)
    if last - first >= retest(wait):
        return Drops((clause("drop-fails-still", what=what, waited=Time(last - first)),))
    again = left(wait, -first)
    findings.test_again(zone, failed[0].place, what, wait, again, shared, ledger)
    return Drops((clause("new-wood-waits-for-drops", what=what, wait=span_of(wait)),), again)
