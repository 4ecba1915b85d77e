"""How many hours does a job take? Task by task, and the sum with its range."""

from __future__ import annotations

from latewood.calculators.labour.compute import compute
from latewood.calculators.labour.findings import find, not_included
from latewood.calculators.labour.inputs import Inputs
from latewood.calculators.labour.resolve import resolve
from latewood.calculators.labour.result import Result
from latewood.calculators.labour.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import estimate, pace
from latewood.provenance import Ledger


@calculator(
    "labour",
    "Hours of a job",
    since="1.1",
    example={
        "tasks": [
            {"id": "sand-field", "works_on": "floor", "rate": "sand-first-softwood", "area": "17.8 m2"},
            {"id": "sand-steps", "works_on": "stairs", "rate": "stair-step", "count": 8},
            {"id": "lay-floor", "works_on": "floor", "lays_coating": True, "rate": "lay-field", "area": "35.7 m2"},
            {"id": "coat-guards", "works_on": "guards", "lays_coating": True, "rate": "coat-guard", "area": "18.7 m2"},
        ],
        "workdays": 4,
        "coating_workdays": 2,
        "visits": 1,
    },
    formulas=(
        pace.time_by_area,
        pace.time_by_length,
        pace.time_by_count,
        estimate.estimate_mean,
        estimate.estimate_deviation,
    ),
    costs=(Cost(0.01, 256), Cost(0.1, 4096)),
    outputs={"labour": "time"},
)
def labour(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Add the hours of stated tasks, and say what hours suffice eight times in ten.

    A task goes by a rate and a quantity, by hours, or by three guesses. A slow crew is slow at everything, so the tasks
    move together in part: the mean of the sum does not change by it, its slow end does. Hours are those of one person;
    means add up, medians do not.
    """
    check(x)
    resolved = resolve(x, known, ledger)
    result = compute(resolved, not_included(x), ledger)
    find(x, resolved, result, ledger)
    return result


__all__ = ["Inputs", "Result", "labour"]
