"""What a job says of drops of water on new treated wood, before a route is chosen."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta
from typing import Final

import msgspec

from latewood.calculators.moisture_readiness.inputs import DropTest
from latewood.declare import RecordLookup
from latewood.messages import Name
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.job import Job
from latewood.plan.surface_rules import told_of
from latewood.provenance import Ledger
from latewood.records import DropTestRule
from latewood.rules.new_wood import bead_wait, counts_from, new_and_treated, retest
from latewood.rules.signs import Beading
from latewood.uncertainty import spread

#: Drops so close to the last ones belong to the same look at the deck.
_ONE_LOOK: Final = timedelta(days=1)


def drops_seen(job: Job, merged: EffectiveZone, known: RecordLookup) -> tuple[Beading | None, date | None]:
    """Return what a job says of beading, and since when; on new treated wood drops that do not soak in say it too."""
    fields, given = merged.fields, job.moisture
    if fields.beading is not None or fields.old_coating not in (None, "none"):
        return fields.beading, None
    if not _waits(job, merged, known):
        return None, None
    stands, stood = _drops(job, merged, known)
    if not stands:
        return None, None
    waited = (max(stood) - min(stood)).total_seconds() if stood else 0.0
    if waited >= retest(bead_wait(None if given is None else given.new_wood_wait, known, Ledger.scratch())):
        # It has waited once: now it is sanded, not left to wait again.
        return None, None
    return "beads", counts_from(min(stood)) if stood else _now(job)


def sanded_lightly(job: Job, zones: list[EffectiveZone], known: RecordLookup, ledger: Ledger) -> list[EffectiveZone]:
    """Return the zones with the planed floors on which water beads as sanded ones: that is what opens them.

    Sanding planed wood beats coating it as planed, and drops ask for it here; every later step goes by the answer.
    """
    found = []
    for merged in zones:
        fields = merged.fields
        beads = fields.beading in ("beads", "in-part") or (fields.beading is None and _drops(job, merged, known)[0])
        bare = fields.old_coating in (None, "none")
        if fields.surface != "planed" or not beads or not bare or not _waits(job, merged, known):
            found.append(merged)
            continue
        at, params = merged.pointer_to("surface"), {"of": merged.id}
        ledger.find("planed-sanded-lightly", pointer=at, params=params, zone=Name(merged.id))
        found.append(replace(merged, fields=msgspec.structs.replace(fields, surface="sanded"), beyond="planed"))
    return found


def _waits(job: Job, merged: EffectiveZone, known: RecordLookup) -> bool:
    """Say whether a floor is new treated wood, which waits where water beads on it."""
    fields = merged.fields
    told = told_of(merged, job)
    return new_and_treated(fields.treatment, fields.species, told, known, Ledger.scratch(), coated=False)


def _drops(job: Job, merged: EffectiveZone, known: RecordLookup) -> tuple[bool, list[datetime]]:
    """Return whether the last drops on a floor stayed on it, and when any with a date did."""
    given = job.moisture
    rule: DropTestRule = (given and given.drop_test_rule) or known.record("drop-test-rule", "within-30-seconds")
    tests = [test for test in job.drop_tests if test.zone == merged.zone.id and test.sanded is not False]
    dated = [(test.taken.written.replace(tzinfo=None), test) for test in tests if test.taken is not None]
    last = max((at for at, _ in dated), default=None)
    current = [test for test in tests if test.taken is None]
    current += [test for at, test in dated if last is not None and at >= last - _ONE_LOOK]
    return any(_stands(test, rule) for test in current), [at for at, test in dated if _stands(test, rule)]


def _now(job: Job) -> date | None:
    """Return the day on which drops without a date were put on: that of the last thing read or wetted."""
    if job.moisture is not None and job.moisture.now is not None:
        return counts_from(job.moisture.now.written)
    times = [row.taken for row in job.readings] + [row.taken for row in job.drop_tests]
    times += [row.at for row in job.wetting]
    days = [counts_from(at.written) for at in times if at is not None]
    return max(days, default=None)


def _stands(test: DropTest, rule: DropTestRule) -> bool:
    """Say whether a drop stays on the wood."""
    return test.beads is True or (test.soak_time is not None and test.soak_time > spread.value(rule.soak_time.number))
