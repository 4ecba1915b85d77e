"""How long work in and along the gaps takes."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence.resolved import Gaps
from latewood.calculators.abrasive_sequence.result import GapWork
from latewood.formulas import pace
from latewood.provenance import Ledger
from latewood.rules.sanding_work.method import Method
from latewood.uncertainty.spread import Number


def gap_work(gaps: Gaps, method: Method, ledger: Ledger) -> GapWork:
    """Return the work on gaps that are treated alike."""
    run = gaps.length * gaps.passes
    return GapWork(
        id=gaps.treatment,
        cleaning=gaps.cleaning,
        length=gaps.length,
        passes=gaps.passes,
        cleaning_time=None if gaps.treatment == "none" else _cleaning_time(gaps, method, ledger),
        time=_along(run, gaps.treatment, method, ledger) if gaps.passes else None,
        full_depth_time=_along(gaps.length, "hand", method, ledger) if gaps.full_depth else None,
    )


def _along(length: float, task: str, method: Method, ledger: Ledger) -> Number:
    return ledger.step(pace.time_by_length, f"gaps, {task}", length=length, pace=method.task(task, ledger))


def _cleaning_time(gaps: Gaps, method: Method, ledger: Ledger) -> Number | None:
    """Return the time for loose dirt by floor area, and for packed gaps by their length."""
    loose = None
    if gaps.floor > 0:
        rate = method.task("gaps", ledger)
        loose = ledger.step(pace.time_by_area, "gaps, loose dirt", area=gaps.floor, pace=rate)
    if gaps.packed is None or (loose is None and not gaps.packed):
        return loose
    packed = _along(gaps.length * gaps.packed, "rake", method, ledger)
    return packed if loose is None else loose + packed
