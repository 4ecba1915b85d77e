"""Fitting the work into the weather: for every start at once, when each step begins and ends."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute.gates import ForecastCase
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.formulas import clockwork
from latewood.weather.hours import Array, Flags

#: No cell: beyond the end of the series.
NEVER: Final = np.inf


@dataclass(frozen=True)
class Fit:
    """When each step begins and ends, in cells, for the starts that were tried; infinity where it never does."""

    starts: Array
    begins: tuple[Array, ...]
    ends: tuple[Array, ...]

    @property
    def whole(self) -> Flags:
        """Say which starts lead to a finished job."""
        found: Flags = np.isfinite(self.ends[-1])
        return found


def fit(case: ForecastCase, day: float, starts: Array | None = None) -> Fit:
    """Follow the steps from every start: each goes on when its gates pass, in one go.

    Only what is longer than ``day``, the longest working day in cells, goes on from day to day. Where no starts are
    given, every cell is one in which the first step may be done.
    """
    steps, family, cells = case.r.steps, case.r.family, case.cells
    if starts is None:
        starts = np.flatnonzero(case.may[steps[0].kind]).astype(float)
    begins: list[Array] = []
    ends: list[Array] = []
    ready = starts
    for place, step in enumerate(steps):
        begin, end = _lay(case, place, day, ready)
        if place == 0:
            begin = np.where(begin > starts + 1e-9, NEVER, begin)
        elif step.kind == "coat" and family.bare_open is not None and "sand" in (s.kind for s in steps[:place]):
            sanded = max(index for index in range(place) if steps[index].kind == "sand")
            if not any(steps[index].kind == "coat" for index in range(sanded, place)):
                with np.errstate(invalid="ignore"):
                    stale = begin - ends[sanded] > family.bare_open / cells.step + 1e-9
                begin = np.where(stale, NEVER, begin)
        if place and _wet(case.r, place - 1) and family.second_coat is not None:
            # Quarters of an hour: a second coat may begin in the cell in which its time ends.
            latest = np.ceil(family.second_coat[1] / cells.step - 1e-9)
            with np.errstate(invalid="ignore"):
                begin = np.where(begin - ends[-1] > latest, NEVER, begin)
        end = np.where(np.isfinite(begin), end, NEVER)
        begins.append(begin)
        ends.append(end)
        ready = ready_after(case, place, end)
    return Fit(starts, tuple(begins), tuple(ends))


def after_coat(case: ForecastCase, place: int) -> float:
    """Return for how many cells after a step the gates must still pass: to wipe, and to coat again on the wet."""
    second, cell = case.r.family.second_coat, case.cells.step
    if second is None or not _wet(case.r, place):
        return wiping(case, place)
    soak, again = second[0] / cell, case.r.steps[place + 1].duration / cell
    return float(np.ceil(soak - 1e-9) + again + after_coat(case, place + 1))


def wiping(case: ForecastCase, place: int) -> float:
    """Return for how many of the cells after a step people only wipe."""
    step, family = case.r.steps[place], case.r.family
    return 0.0 if step.kind != "coat" or family.wipe is None else family.wipe[1] / case.cells.step


def in_one_go(case: ForecastCase, place: int) -> Flags:
    """Say from which cells a step and what follows it pass their gates: of laying to the last coat, then of wiping."""
    step = case.r.steps[place]
    whole = step.duration / case.cells.step + after_coat(case, place)
    laid = runs(case.may[step.kind]) >= whole - wiping(case, place) - 1e-9
    found: Flags = laid & (runs(case.wipes[step.kind]) >= whole - 1e-9)
    return found


def _wet(r: Resolved, place: int) -> bool:
    """Say whether the next coat goes on this one while it is wet."""
    both = [step.kind for step in r.steps[place : place + 2]] == ["coat", "coat"]
    return both and r.family.second_coat is not None and "next_coat" not in r.family.stages


def _lay(case: ForecastCase, place: int, day: float, ready: Array) -> tuple[Array, Array]:
    """Return when one step begins, at or after ``ready``, and when it ends."""
    step = case.r.steps[place]
    takes, may = step.duration / case.cells.step, case.may[step.kind]
    count = len(may)
    if takes + after_coat(case, place) <= day + 1e-9:
        begin = _next(in_one_go(case, place), ready)
        return begin, np.where(np.isfinite(begin), np.ceil(begin + takes - 1e-9), NEVER)
    # Longer than any working day: it goes on from day to day, whenever its gates pass.
    begin = _next(may, ready)
    known = np.isfinite(begin)
    total = clockwork.running(may.astype(float))
    end = clockwork.reached(total, np.where(known, begin, count - 1), takes)
    end = np.where(known, np.ceil(end - 1e-9), NEVER)
    return np.where(np.isfinite(end), begin, NEVER), end


def ready_after(case: ForecastCase, place: int, end: Array) -> Array:
    """Return when the next step may begin; nothing but another coat goes on a coat before it can be walked on."""
    step, rest, family = case.r.steps[place], case.r.steps[place + 1 :], case.r.family
    known = np.isfinite(end)
    ready = end
    if step.kind == "coat" and rest:
        again = rest[0].kind == "coat"
        if again and "next_coat" not in family.stages and family.second_coat is not None:
            ready = np.where(known, end + family.second_coat[0] / case.cells.step, NEVER)
        else:
            # Until it can be walked on also where nothing is said of a further coat.
            needs = family.stages["next_coat" if again and "next_coat" in family.stages else "walk"][1]
            done = clockwork.reached(case.clock.total, np.where(known, end, 0.0), needs)
            ready = np.where(known, done, NEVER)
    if step.wait is not None:
        ready = np.maximum(ready, end + step.wait / case.cells.step)
    return np.ceil(ready - 1e-9)


def runs(may: Flags) -> Array:
    """Return how many cells in a row pass, from each one on."""
    count = len(may)
    places = np.where(may, count, np.arange(count))
    stops = np.minimum.accumulate(places[::-1])[::-1]
    found: Array = (stops - np.arange(count)).astype(float)
    return np.where(may, found, 0.0)


def _next(fits: Flags, ready: Array) -> Array:
    """Return the first cell that fits at or after each time."""
    count = len(fits)
    places = np.where(fits, np.arange(count), count)
    following = np.append(np.minimum.accumulate(places[::-1])[::-1], count).astype(float)
    inside = np.isfinite(ready) & (ready <= count)
    found = following[np.where(inside, ready, count).astype(int)]
    return np.where(found < count, found, NEVER)
