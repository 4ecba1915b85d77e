"""What is said of the hours of a job."""

from __future__ import annotations

from latewood.calculators.labour.inputs import Inputs
from latewood.calculators.labour.resolved import Resolved
from latewood.calculators.labour.result import Result
from latewood.messages import Clause, Name, Share, Time, clause
from latewood.provenance import Ledger
from latewood.uncertainty import spread


def not_included(x: Inputs) -> tuple[Clause, ...]:
    """Return what is not in the hours."""
    left_out = [
        clause("no-set-up") if x.workdays is None else None,
        clause("no-travel") if x.travel_time is None else None,
        clause("no-waiting"),
        clause("no-repairs"),
        clause("no-office"),
    ]
    return tuple(one for one in left_out if one is not None)


def find(x: Inputs, r: Resolved, result: Result, ledger: Ledger) -> None:
    """Add the findings."""
    if x.workdays is None:
        ledger.find("set-up-not-counted", pointer="/workdays")
    if any(work.by != "guesses" for work in r.works):
        ledger.find("gross-paces", pointer="/tasks")
    gap = spread.parts_do_not_add([row.time for row in result.tasks], result.time)
    if gap is not None and gap < 0:
        ledger.find("medians-do-not-add", pointer="/tasks", gap=Share(-gap))
    if result.largest_unknowns:
        names = [Name(id) for id in result.largest_unknowns]
        ledger.find("largest-unknowns", pointer="/tasks", tasks=names)
    if result.actual_time is not None and result.planned_time is not None:
        _compare(result.actual_time, result.planned_time, ledger)


def _compare(actual: float, planned: spread.Number, ledger: Ledger) -> None:
    low, high = spread.low(planned), spread.high(planned)
    if actual > high:
        ledger.find("took-longer", pointer="/tasks", actual=Time(actual), high=Time(high))
    elif actual < low:
        ledger.find("took-less", pointer="/tasks", actual=Time(actual), low=Time(low))
