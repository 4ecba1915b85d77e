"""New treated wood on which water beads: it waits, and is tested again. One rule for all who ask."""

from __future__ import annotations

import math
from datetime import date, datetime, timedelta
from typing import Final

from latewood.declare import RecordLookup
from latewood.formulas.workdays import DAY
from latewood.messages import Between, Clause, Count, Time, clause
from latewood.provenance import Ledger
from latewood.records import NewWoodWait, Species
from latewood.records.base import Treatment
from latewood.rules.preservatives import Wood
from latewood.rules.weathering import Told, is_new
from latewood.rules.work import EVENING
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

_WEEK: Final = 7 * DAY
#: What is done about it, in the words of every calculator.
THEN: Final = clause("test-then-sand-lightly")


def new_and_treated(
    treatment: Treatment | None,
    species: Species | None,
    told: Told,
    known: RecordLookup,
    ledger: Ledger,
    *,
    coated: bool,
) -> bool:
    """Say whether wood is bare, new and treated. Silence counts as treated, but for wood that seldom is.

    A wait for nothing costs weeks; a coat over what water beads on costs the job.
    """
    treated = Wood(species, treatment).counted != "none"
    return treated and not coated and is_new(told, known, ledger)


def bead_wait(rule: NewWoodWait | None, known: RecordLookup, ledger: Ledger) -> Number:
    """Return how long new treated wood waits where water beads on it: by the rule chosen, else by the usual one."""
    usual: NewWoodWait = known.record("new-wood-wait", "measure")
    for one in (rule, usual):
        if one is not None and one.bead_wait is not None:
            return ledger.take(one.bead_wait)
    return 0.0


def left(wait: Number, waited: float) -> Number:
    """Return what is left of a wait (s) of which some time is over; below zero where it is still to begin."""
    return spread.maximum(wait - waited, 0.0)


def retest(wait: Number) -> float:
    """Return when drops are put on again (s): at the earliest. Every date of a plan counts from it, none from later.

    The end of a stated wait says how long it may take, the beginning when there is something to do.
    """
    return float(spread.low(wait))


def tested_after(wait: Number | None) -> int:
    """Return how many days after the first wood is tested again, and work on it begins; 0 where it does not wait."""
    return 0 if wait is None else math.ceil(retest(wait) / DAY - 1e-9)


def counts_from(drop: datetime) -> date:
    """Return the day a wait counts from: no test is made in the evening, so a drop of then is one of the morning."""
    return drop.date() + timedelta(days=1 if drop.hour >= EVENING else 0)


def span_of(wait: Number) -> Between:
    """Return a wait as a message carries it."""
    return Between(Time(spread.low(wait)), Time(spread.high(wait)))


def weeks(wait: Number) -> Clause:
    """Return a wait as people say it."""
    low, high = (Count(round(end / _WEEK)) for end in (spread.low(wait), spread.high(wait)))
    if low == high:
        return clause("weeks", weeks=low)
    return clause("weeks-between", low=low, high=high)
