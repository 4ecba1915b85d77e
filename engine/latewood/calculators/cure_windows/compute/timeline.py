"""What happens when, for one start: the steps, wiping, and what the hand-over sheet says."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.fields import CureEvent, HandOver, WorkStep
from latewood.formulas import clockwork
from latewood.messages import Between, Moment, Name, Temperature, Time, Word, clause

#: Coats that people call by their place.
_COATS: Final = ("coat-1", "coat-2", "coat-3", "coat-4")
#: Stage → its line of the hand-over sheet.
_LINES: Final = {
    "rain_safe": ("rain-safe", "hand-over-rain-safe"),
    "walk": ("walk", "hand-over-walk"),
    "furniture": ("furniture", "hand-over-furniture"),
    "covers": ("covers", "hand-over-covers"),
    "full_cure": ("full-cure", "hand-over-full-cure"),
}


@dataclass(frozen=True)
class Laid:
    """When each step of one start begins and ends, in cells."""

    begins: Sequence[float]
    ends: Sequence[float]


def called(step: WorkStep) -> Word | Name:
    """Return what people call a step: a coat by its place, another step as it was named."""
    return Word("work-step", step.id) if step.id in _COATS else Name(step.id)


def events(laid: Laid, case: ForecastCase) -> Iterator[CureEvent]:
    """Yield the time line of one start."""
    cells, family, coats = case.cells, case.r.family, case.r.coats
    for place, step in enumerate(case.r.steps):
        begin, end = laid.begins[place], laid.ends[place]
        starts, ends = cells.at(begin), cells.at(end)
        said = clause("step-from-to", step=called(step), start=Moment(starts), end=Moment(ends))
        yield CureEvent(id=step.id, starts=starts, ends=ends, text=said)
        last_of_wet = not (family.second_coat is not None and place in coats[:-1])
        if place in coats and family.wiped and last_of_wet:
            yield from _wiping(step, begin, end, case)
        if place in coats:
            yield from _next_coat(step, end, case, first=place == coats[0])


def _next_coat(step: WorkStep, end: float, case: ForecastCase, *, first: bool) -> Iterator[CureEvent]:
    """Yield when another coat may go on: by the slow clock, or while the first is wet, whichever the family wants."""
    id, cells, family = f"{step.id}-next-coat", case.cells, case.r.family
    if "next_coat" in family.stages:
        ready = float(clockwork.reached(case.clock.total, [end], family.stages["next_coat"][1])[0])
        if np.isfinite(ready):
            at = _minute(cells.at(ready))
            yield CureEvent(id=id, starts=at, text=clause("next-coat-from", start=Moment(at)))
    elif family.second_coat is not None and first:
        soon, late = (cells.at(end) + timedelta(seconds=limit) for limit in family.second_coat)
        said = clause("next-coat-wet", start=Moment(soon), end=Moment(late))
        yield CureEvent(id=id, starts=_minute(soon), ends=_minute(late), text=said)


def _wiping(step: WorkStep, begin: float, end: float, case: ForecastCase) -> Iterator[CureEvent]:
    """Yield when the first and the last that was laid is wiped, each at its board's own temperature."""
    cells = case.cells
    for which, laid, cell in (("first", begin, int(begin)), ("last", end, max(int(np.ceil(end)) - 1, 0))):
        cell = waits_in(case, cell)
        after, until = dwell_at(case, cell)
        start, stop = cells.at(laid) + timedelta(seconds=after), cells.at(laid) + timedelta(seconds=until)
        yield CureEvent(
            id=f"{step.id}-wipe-{which}",
            starts=_minute(start),
            ends=_minute(stop),
            text=clause(
                "wipe-first-boards" if which == "first" else "wipe-last-boards",
                when=Between(Time(after), Time(until)),
                temperature=Temperature(float(cells.face[cell])),
            ),
        )


def waits_in(case: ForecastCase, cell: int) -> int:
    """Return the warmer of a cell and the next: what is laid in the one waits into the other."""
    near = slice(min(cell, len(case.cells) - 1), cell + 2)
    return near.start + int(np.argmax(case.cells.face[near]))


def dwell_at(case: ForecastCase, cell: int) -> tuple[float, float]:
    """Return, in s from laying on, when wiping may begin and when it must be done, by the clocks of that cell."""
    cells, family = case.cells, case.r.family
    assert family.wipe is not None and family.dwell is not None  # noqa: S101, PT018  asked for only where it wipes
    slow, fast = family.clock(
        surface_temperature=cells.face[cell : cell + 1],
        air_temperature=cells.air[cell : cell + 1],
        relative_humidity=cells.humidity[cell : cell + 1],
        coldest=family.coldest,
    )
    after, until = family.dwell(
        earliest=family.wipe[0], latest=family.wipe[1], longest=family.longest_wipe, slow=slow, fast=fast
    )
    return float(np.ravel(after)[0]), float(np.ravel(until)[0])


def hand_over(laid: Laid, case: ForecastCase) -> Iterator[HandOver]:
    """Yield when the deck may be used, by the slow clock; beyond the weather, as if it went on as it was on average."""
    if not case.r.coats:
        return
    cells, clock, done = case.cells, case.clock, laid.ends[case.r.coats[-1]]
    for stage, (id, line) in _LINES.items():
        total = clock.total if stage == "rain_safe" else clock.hand_over
        least, _ = _after(total, done, case.r.family.stages[stage][0], cells)
        most, beyond = _after(total, done, case.r.family.stages[stage][1], cells)
        if most is None or least is None:
            continue
        at = cells.at(done) + timedelta(seconds=most)
        shown = _hour_after(at)
        yield HandOver(
            id=id,
            after=most,
            after_least=least,
            at=shown,
            estimated=beyond,
            text=clause(line, at=Moment(shown), estimated=[clause("estimated")] if beyond else []),
        )


def _after(total: np.ndarray, done: float, needed: float, cells: Cells) -> tuple[float | None, bool]:
    """Return s from the end of the last coat, and whether it lies beyond the weather; None where nothing ever cures."""
    at = float(clockwork.reached(total, [done], needed)[0])
    if np.isfinite(at):
        return (at - done) * cells.step, False
    count = len(cells)
    pace = total[-1] / (count * cells.step)
    if pace <= 1e-6:
        return None, True
    here = float(np.interp(done, np.arange(count + 1), total))
    return (count - done) * cells.step + (needed - (total[-1] - here)) / pace, True


def _minute(at: datetime) -> datetime:
    return at.replace(second=0, microsecond=0)


def _hour_after(at: datetime) -> datetime:
    """Return the next full hour: no hand-over sheet says 13:47."""
    floor = at.replace(minute=0, second=0, microsecond=0)
    return floor if floor == at else floor + timedelta(hours=1)
