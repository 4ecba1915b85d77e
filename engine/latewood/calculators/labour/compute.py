"""Hours of every task, and of the sum."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from latewood.calculators.labour.resolved import Resolved, Work
from latewood.calculators.labour.result import Result, TaskTime
from latewood.formulas import estimate, pace
from latewood.messages import Clause
from latewood.provenance import Ledger
from latewood.uncertainty import spread
from latewood.uncertainty.scores import Z90
from latewood.uncertainty.spread import Number, Uncertain

#: What all tasks of one crew share.
_CREW: Final = "labour/crew-pace"


def compute(r: Resolved, not_included: tuple[Clause, ...], ledger: Ledger) -> Result:
    """Return what each task takes, and all of them, as far as they move together."""
    done = list(zip(r.works, _times(r.works, r.correlation, ledger), strict=True))
    whole = spread.total([time for _, time in done])
    unknown = {work.id: spread.share_of_variance(time, whole) for work, time in done if isinstance(time, Uncertain)}
    finished = [(work.actual, time) for work, time in done if work.actual is not None]

    def on(part: str) -> Number:
        return spread.total([time for work, time in done if work.works_on == part])

    return Result(
        time=whole,
        time_p80=spread.quantile(whole, 0.8),
        mean_time=spread.mean(whole),
        floor_time=on("floor"),
        stair_time=on("stairs"),
        guard_time=on("guards"),
        site_time=on("site"),
        coating_time=spread.total([time for work, time in done if work.lays_coating]),
        tasks=tuple(_row(work, time, whole) for work, time in done),
        largest_unknowns=tuple(sorted(unknown, key=lambda id: -unknown[id])[:3]),
        actual_time=sum(actual for actual, _ in finished) if finished else None,
        planned_time=spread.total([time for _, time in finished]) if finished else None,
        not_included=not_included,
    )


def effect_of_correlation(works: Sequence[Work], correlation: float, others: Iterable[float]) -> float:
    """Return by what share other correlations move the hours that suffice eight times in ten, at most."""

    def suffices(correlation: float) -> float:
        return spread.quantile(spread.total(_times(works, correlation, Ledger.scratch())), 0.8)

    base = suffices(correlation)
    return max(abs(suffices(other) / base - 1) for other in others) if base else 0.0


def _row(work: Work, time: Number, whole: Number) -> TaskTime:
    mean, of = spread.mean(time), spread.mean(whole)
    return TaskTime(
        id=work.id,
        time=time,
        mean_time=mean,
        share=mean / of if of else 0.0,
        over_mean=work.actual / mean - 1 if work.actual is not None and mean else None,
    )


def _times(works: Sequence[Work], correlation: float, ledger: Ledger) -> list[Number]:
    return [spread.moving_together(_time(work, ledger), _CREW, correlation) for work in works]


def _time(work: Work, ledger: Ledger) -> Number:
    match work.by:
        case "area":
            return ledger.step(pace.time_by_area, work.id, area=work.quantity, pace=work.pace)
        case "length":
            return ledger.step(pace.time_by_length, work.id, length=work.quantity, pace=work.pace)
        case "count":
            return ledger.step(pace.time_by_count, work.id, count=work.quantity, pace=work.pace)
        case "occasions":
            return work.quantity * work.pace
        case "guesses":
            return _guessed(work, ledger)


def _guessed(work: Work, ledger: Ledger) -> Number:
    """Return a normal unknown with the mean and the deviation of three guesses."""
    least, likely, most = work.guesses
    if least == most:
        return least
    mean = spread.central(ledger.step(estimate.estimate_mean, work.id, least=least, likely=likely, most=most))
    half = Z90 * spread.central(ledger.step(estimate.estimate_deviation, work.id, least=least, most=most))
    return spread.normal(f"input/tasks/{work.id}", max(mean - half, 0.0), mean, mean + half, lowest=0.0)
