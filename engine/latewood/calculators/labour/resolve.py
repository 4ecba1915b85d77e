"""The pace of every task, and of what days and visits add."""

from __future__ import annotations

from typing import Final

from latewood.calculators.labour.compute import effect_of_correlation
from latewood.calculators.labour.inputs import Inputs, Task
from latewood.calculators.labour.resolved import By, Resolved, Work
from latewood.calculators.labour.validation import GUESSES, quantity_of
from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.records import Rate

#: How far a crew that is slow at one task is slow at the others. Judgement: independent tasks understate the P90 of
#: whole jobs by 12 to 15 %.
_CORRELATION: Final = 0.3
_OTHERS: Final = (0.0, 0.6)


def resolve(x: Inputs, known: RecordLookup, ledger: Ledger) -> Resolved:
    """Return the tasks with their paces, then what days and visits add."""
    cloths = x.coating_workdays
    if cloths is None and any(task.lays_coating for task in x.tasks):
        cloths = 1
        ledger.default("coating_workdays", "1", others=(3,), why=clause("cloths-each-day"))
    occasions = (
        ("set-up", "day-set-up", x.workdays),
        ("cloths", "rag-duty", cloths),
        ("visits", "visit", x.visits),
    )
    works = [_task(task, ledger) for task in x.tasks]
    for id, name, times in occasions:
        if times:
            rate: Rate = known.record("rate", name)
            works.append(
                Work(id=id, works_on="site", by="occasions", quantity=float(times), pace=ledger.take(rate.pace))
            )
    if x.travel_time is not None:
        trips = float(((x.workdays or 0) + x.visits) * x.people)
        works.append(Work(id="travel", works_on="site", by="occasions", quantity=trips, pace=x.travel_time))
    correlation = x.pace_correlation
    if correlation is None:
        correlation = _CORRELATION
        effect = effect_of_correlation(works, correlation, _OTHERS)
        ledger.default("pace_correlation", "30 %", effect=effect, why=clause("slow-at-all"))
    return Resolved(works=tuple(works), correlation=correlation)


def _task(task: Task, ledger: Ledger) -> Work:
    by: By = "guesses"
    quantity, pace, guesses = 1.0, task.time, (0.0, 0.0, 0.0)
    if task.rate is not None:
        by = task.rate.counted_by
        quantity, pace = float(getattr(task, quantity_of(task.rate))), ledger.take(task.rate.pace)
    elif pace is not None:
        by = "occasions"
    else:
        least, likely, most = (getattr(task, name) for name in GUESSES)
        guesses = (least, likely, most)
    return Work(
        id=task.id,
        works_on=task.works_on,
        lays_coating=task.lays_coating,
        by=by,
        quantity=quantity,
        pace=0.0 if pace is None else pace,
        guesses=guesses,
        actual=task.actual_time,
    )
