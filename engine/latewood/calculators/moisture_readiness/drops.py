"""What drops of water on a zone say: nothing, that it soaks in, or that the wood is to be sanded or left to wait."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness.climate import DAY
from latewood.calculators.moisture_readiness.fields import DropTest, ReadinessZone
from latewood.calculators.moisture_readiness.setting import Setting
from latewood.records import DropTestRule
from latewood.rules.new_wood import THEN, bead_wait, left, new_and_treated, retest, weeks
from latewood.rules.weathering import Told, Weathering
from latewood.uncertainty import spread
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
class _Drop:
    """One test that counts: where it stands among the inputs, when it was made (s from now), what came of it."""

    place: int
    given: DropTest
    at: float
    slow: bool

    @property
    def failed(self) -> bool:
        return self.given.beads is True or self.slow


def drops_of(setting: Setting, zone: ReadinessZone, state: Weathering) -> Drops:
    """Return what the drops on a zone say. A later test stands for an earlier one."""
    rule: DropTestRule = setting.x.drop_test_rule or setting.known.record("drop-test-rule", "within-30-seconds")
    told = [(place, test) for place, test in enumerate(setting.x.drop_tests) if test.zone == zone.id]
    if not told:
        return Drops()
    slowest = spread.value(setting.ledger.take(rule.soak_time))
    counted = list(_counted(setting, zone, state, told, slowest))
    if not counted:
        return Drops()
    setting.ledger.use("input/drop_test_rule", rule.id, "common-practice", note=rule.title)
    latest = max(drop.at for drop in counted)
    stands = setting.practice.take(setting.practice.record.stands)
    current = [drop for drop in counted if drop.at >= latest - stands]
    if len({drop.failed for drop in current}) > 1:
        message = f"Drops in zone {zone.id} disagree: the slowest decides. Old finish or wax lies in patches there."
        pointer = f"/drop_tests/{current[0].place}"
        setting.ledger.find("drop-tests-disagree", "note", message, pointer=pointer, zone=zone.id)
    failed = [drop for drop in current if drop.failed]
    if failed and _may_wait(setting, zone):
        return _waits(setting, zone, failed, min(drop.at for drop in counted if drop.failed), rule)
    return Drops(tuple(dict.fromkeys(_words(drop, slowest) for drop in failed)))


def _counted(
    setting: Setting, zone: ReadinessZone, state: Weathering, told: Sequence[tuple[int, DropTest]], slowest: float
) -> Iterator[_Drop]:
    for place, test in told:
        slow = test.soak_time is not None and test.soak_time > slowest
        # Where nobody spoke of grey, only a drop that soaks in may be put down to it.
        unsaid = state.ground == "default"
        grey = state.weathered and test.sanded is not True and not test.beads and not (unsaid and slow)
        if test.sanded is False or grey:
            message = "A drop always soaks into grey, weathered wood: this test says nothing before the last sanding."
            pointer = f"/drop_tests/{place}"
            setting.ledger.find("drop-test-says-nothing", "note", message, pointer=pointer, zone=zone.id)
            continue
        yield _Drop(place, test, setting.clock.tested[place] or 0.0, slow)


def _words(drop: _Drop, slowest: float) -> str:
    if drop.given.beads:
        return f"water beads: {_SAND}"
    return f"a drop took {drop.given.soak_time:.0f} s to soak in, longer than {slowest:.0f} s"


def _may_wait(setting: Setting, zone: ReadinessZone) -> bool:
    """Say whether water stands on the wood because it is new and treated; say what is assumed of the treatment."""
    x, now = setting.x, setting.clock.now
    told = Told(age=x.new_wood_age, year_built=x.year_built, as_of=None if now is None else now.date())
    species, coated = zone.species or x.species, bool(zone.coated_before)
    if not new_and_treated(zone.treatment, species, told, setting.known, setting.ledger, coated=coated):
        return False
    if zone.treatment in (None, "unknown"):
        message = (
            f"Zone {zone.id}: treatment not given, treated assumed. New wood without preservative does not wait for "
            "its drops: sand it lightly and test again."
        )
        pointer = f"{setting.pointer(zone)}/treatment"
        setting.ledger.find("treated-for-drops", "note", message, pointer=pointer, zone=zone.id)
    return True


def _waits(setting: Setting, zone: ReadinessZone, failed: Sequence[_Drop], first: float, rule: DropTestRule) -> Drops:
    """Return how long new treated wood waits, counted from the first drop that did not soak in."""
    wait = bead_wait(setting.x.new_wood_wait, setting.known, setting.ledger)
    beads = any(drop.given.beads for drop in failed)
    what = "water beads" if beads else "water soaks in slowly"
    last = max(drop.at for drop in failed)
    if last - first >= retest(wait):
        days = f"{(last - first) / DAY:.0f} days"
        return Drops((f"{what} still, {days} after the first test: sand lightly and test again",))
    again = left(wait, -first)
    found = Drops((f"{what} on new treated wood: wait {weeks(wait)}, {THEN}",), again)
    when = setting.clock.at(setting.clock.by_day(retest(again)))
    date = "now" if retest(again) <= 0 else f"from {when:%a %d %b %H:%M}" if when else f"in {weeks(again)}"
    longer = "" if rule.retest is None else f" Another source waits {weeks(setting.ledger.take(rule.retest))}."
    message = (
        f"Zone {zone.id}: {what} on new treated wood. Test again {date}, {weeks(wait)} after the first test, then "
        f"sand lightly.{longer}"
    )
    pointer = f"/drop_tests/{failed[0].place}"
    setting.ledger.find("drop-test-again", "warning", message, pointer=pointer, zone=zone.id)
    return found
