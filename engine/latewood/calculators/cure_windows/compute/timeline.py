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

_LINES: Final = {
    "rain_safe": ("rain-safe", "Rain does no harm from {at}. Until then keep every drop off, the hose and dew too."),
    "walk": ("walk", "Walk on it from {at}, in socks or clean soft soles."),
    "furniture": ("furniture", "Furniture goes back from {at}; lift it, do not drag it."),
    "covers": ("covers", "Mats, pots, grills and covers go back from {at}: under them it stays soft and prints."),
    "full_cure": ("full-cure", "It has cured through from {at}. Until then no wet cleaning and no rubber feet."),
}


@dataclass(frozen=True)
class Laid:
    """When each step of one start begins and ends, in cells."""

    begins: Sequence[float]
    ends: Sequence[float]


def events(laid: Laid, case: ForecastCase) -> Iterator[CureEvent]:
    """Yield the time line of one start."""
    cells, family, coats = case.cells, case.r.family, case.r.coats
    for place, step in enumerate(case.r.steps):
        begin, end = laid.begins[place], laid.ends[place]
        words = f"{step.id}: {cells.at(begin):%a %d %b %H:%M} to {cells.at(end):%a %d %b %H:%M}"
        yield CureEvent(id=step.id, starts=cells.at(begin), ends=cells.at(end), text=words)
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
            yield CureEvent(id=id, starts=at, text=f"another coat may go on from {at:%a %d %b %H:%M}")
    elif family.second_coat is not None and first:
        soon, late = (cells.at(end) + timedelta(seconds=limit) for limit in family.second_coat)
        words = f"the second coat goes on while the first is wet, {soon:%H:%M} to {late:%H:%M} where laying ended"
        yield CureEvent(id=id, starts=_minute(soon), ends=_minute(late), text=words)


def _wiping(step: WorkStep, begin: float, end: float, case: ForecastCase) -> Iterator[CureEvent]:
    """Yield when the first and the last that was laid is wiped, each at its board's own temperature."""
    cells = case.cells
    for which, laid, cell in (("first", begin, int(begin)), ("last", end, max(int(np.ceil(end)) - 1, 0))):
        cell = min(cell, len(cells) - 1)
        after, until = dwell_at(case, cell)
        start, stop = cells.at(laid) + timedelta(seconds=after), cells.at(laid) + timedelta(seconds=until)
        celsius = cells.face[cell] - 273.15
        yield CureEvent(
            id=f"{step.id}-wipe-{which}",
            starts=_minute(start),
            ends=_minute(stop),
            text=(
                f"what was laid {which} comes off {after / 60:.0f} to {until / 60:.0f} min after it was laid, "
                f"on boards of {celsius:.0f} °C: not later, or it sticks"
            ),
        )


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
    for stage, (id, words) in _LINES.items():
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
            text=words.format(at=f"{shown:%A %d %B, %H:%M}") + (" (estimated)" if beyond else ""),
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
