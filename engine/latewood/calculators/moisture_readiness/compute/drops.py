"""What drops on a zone come to: nothing, that water soaks in, or that the wood is to be sanded or left to wait."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.inputs import DropTest
from latewood.calculators.moisture_readiness.resolved import Resolved, Zone
from latewood.formulas.workdays import DAY
from latewood.messages import in_english
from latewood.provenance import Ledger
from latewood.rules.new_wood import THEN, left, retest, weeks
from latewood.rules.weathering import Weathering
from latewood.uncertainty.spread import Number

_SAND: Final = "an old finish, wax or polished fibres; sand lightly and test again"


@dataclass(frozen=True)
class Drops:
    """What drops speak against coating, and how long (s from now) the wood waits until it is tested again.

    ``again`` is None where no drop asks to wait.
    """

    against: tuple[str, ...] = ()
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
    def against(self) -> str:
        """Why it speaks against coating."""
        if self.given.beads:
            return f"water beads: {_SAND}"
        return f"a drop took {self.given.soak_time:.0f} s to soak in, longer than {self.slowest:.0f} s"


def failed_drops(zone: Zone, state: Weathering, shared: Resolved, ledger: Ledger) -> tuple[list[Drop], float]:
    """Return the drops that fail, and when the first one failed. A later test stands for an earlier one."""
    rule = shared.drop_rule
    counted = list(_counted(zone, state, ledger.value(rule.soak_time), ledger)) if zone.drops else []
    if not counted:
        return [], 0.0
    ledger.use("input/drop_test_rule", rule.id, "common-practice", note=rule.title)
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
        return Drops(tuple(dict.fromkeys(drop.against for drop in failed)))
    beads = any(drop.given.beads for drop in failed)
    what = "water beads" if beads else "water soaks in slowly"
    last = max(drop.at for drop in failed)
    if last - first >= retest(wait):
        days = f"{(last - first) / DAY:.0f} days"
        return Drops((f"{what} still, {days} after the first test: sand lightly and test again",))
    again = left(wait, -first)
    findings.test_again(zone, failed[0].place, what, wait, again, shared, ledger)
    return Drops((f"{what} on new treated wood: wait {in_english(weeks(wait))}, {in_english(THEN)}",), again)
