"""The stretches of starts that work, ranked, what comes nearest where none does, and the weather step by step."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np

from latewood.calculators.cure_windows.compute.cells import Cells
from latewood.calculators.cure_windows.compute.gates import SCALE, ForecastCase, Gating
from latewood.calculators.cure_windows.compute.search import Fit, after_coat, in_one_go, runs, wiping
from latewood.calculators.cure_windows.compute.timeline import called
from latewood.calculators.cure_windows.fields import CureHour, CureMiss, CureWindow, WorkStep
from latewood.calculators.cure_windows.gate_messages import to_spare
from latewood.formulas import clockwork
from latewood.messages import Moment, Time, clause
from latewood.weather.hours import Array, Flags

#: Rows of an answer: three weeks of hours. A year of them is ten megabytes, too long to read.
MOST_ROWS: Final = 504


@dataclass(frozen=True)
class Ranked:
    """One stretch of starts, its best start, and what closes it."""

    first: int
    last: int
    best: int
    slack: float
    breaks: tuple[str, ...]

    @property
    def order(self) -> tuple[int, float, int]:
        """Sort by how many errors close it, then by how tight it is, then by time."""
        return len(self.breaks), -round(min(self.slack, 3.0), 1), self.first


def ranked(case: ForecastCase, fit: Fit, wrong: Mapping[str, Flags]) -> list[Ranked]:
    """Return the stretches of starts that lead to a finished job, the best first."""
    whole = np.flatnonzero(fit.whole)
    if not len(whole):
        return []
    starts = fit.starts[whole].astype(int)
    slack = _slack(case, fit)[whole]
    # The fewer errors close a start the better; among equals the one furthest inside.
    closed = sum((~flags[whole]).astype(float) for flags in wrong.values()) + np.zeros(len(whole))
    cuts = np.flatnonzero(np.diff(starts) > 1) + 1
    found = []
    for block in np.split(np.arange(len(starts)), cuts):
        score = closed[block] * 100.0 - np.minimum(np.round(slack[block], 1), 3.0)
        best = int(block[int(np.argmin(score))])
        breaks = tuple(name for name, flags in wrong.items() if not flags[whole[best]])
        found.append(
            Ranked(int(starts[block[0]]), int(starts[block[-1]]), int(starts[best]), float(slack[best]), breaks)
        )
    return sorted(found, key=lambda one: one.order)


def _slack(case: ForecastCase, fit: Fit) -> Array:
    """Return the tightest margin over all coats of each start, in errors of a forecast."""
    least = np.full(len(fit.starts), 9.0)
    inside = case.gatings["coat"].slack()
    for place in case.r.coats:
        begin, end = fit.begins[place], fit.ends[place]
        known = np.isfinite(end)
        if not known.any():
            continue
        takes = int(np.min(end[known] - begin[known]))
        over = clockwork.ahead(inside, max(takes, 1))
        at = np.where(known, begin, 0).astype(int)
        least = np.minimum(least, np.where(known, np.nan_to_num(over[at], nan=-9.0), -9.0))
    return least


def window(place: int, one: Ranked, fit: Fit, case: ForecastCase) -> CureWindow:
    """Return a stretch of starts as it is answered."""
    cells, at = case.cells, int(np.flatnonzero(fit.starts == one.best)[0])
    first, last = (case.r.coats[0], case.r.coats[-1]) if case.r.coats else (0, -1)
    coat = slice(int(fit.begins[first][at]), int(fit.ends[first][at]))
    close = _margins(case.gatings["coat"], coat)
    gate, margin = close[0] if close else ("none", float("nan"))
    breaks = (*one.breaks, *cells.unsaid)
    end = float(fit.ends[last][at])
    boards = cells.face[one.best : max(math.ceil(end), one.best + 1)]
    return CureWindow(
        id=str(place),
        verdict="at-risk" if breaks else "yes",
        starts=cells.at(one.first),
        latest_start=cells.at(one.last),
        best_start=cells.at(one.best),
        ends=cells.at(end),
        tightest_gate=gate,
        tightest=to_spare(gate, margin),
        margins=tuple(to_spare(*one) for one in close),
        breaks=breaks,
        warmest_boards=float(np.nanmax(boards)) if np.isfinite(boards).any() else None,
    )


def _margins(gating: Gating, coat: slice) -> list[tuple[str, float]]:
    """Return gates with their margins in SI over the cells that pass, those first that come closest for their kind."""
    laid = np.flatnonzero(gating.passes[coat]) + coat.start
    found = [
        (float(np.min(margin[laid])) / SCALE[gate], gate)
        for gate, margin in gating.margins.items()
        if gate in SCALE and len(laid)
    ]
    return [(gate, share * SCALE[gate]) for share, gate in sorted(found) if not np.isnan(share)]


def nearest_miss(case: ForecastCase, at_work: Flags, fitted: Fit) -> CureMiss:
    """Return the step that has no place in the weather, and its nearest start; or that they have none together."""
    steps, cells = case.r.steps, case.cells
    if not at_work.any():
        return CureMiss(stopped=steps[0].id, gates=("working-hours",), text=clause("never-at-work"))
    for place, step in enumerate(steps):
        takes = step.duration / cells.step + after_coat(case, place)
        may = case.may[step.kind]
        long = runs(at_work).max() < takes
        if long and may.any() and (hours := float(may.sum()) * cells.step) < step.duration - 1e-6:
            text = clause("too-few-hours", step=called(step), takes=Time(step.duration), hours=Time(hours))
            return CureMiss(stopped=step.id, gates=("too-short",), text=text)
        if may.any() if long else in_one_go(case, place).any():
            continue
        laying = takes - wiping(case, place)
        return _of(step, int(np.ceil(1 if long else laying)), case.gatings[step.kind], at_work, cells)
    blocked = next((place for place, ends in enumerate(fitted.ends) if not np.isfinite(ends).any()), len(steps) - 1)
    name = called(steps[blocked])
    text = clause("hours-not-followed", step=name)
    if blocked:
        text = clause("hours-out-of-order", step=name, after=called(steps[blocked - 1]))
    return CureMiss(stopped=steps[blocked].id, gates=("sequence",), text=text)


def _of(step: WorkStep, takes: int, gating: Gating, at_work: Flags, cells: Cells) -> CureMiss:
    whole = runs(at_work) >= takes
    if not whole.any():
        text = clause("day-too-short", step=called(step))
        return CureMiss(stopped=step.id, gates=("working-hours",), text=text)
    at = int(np.argmax(np.where(whole, _score(gating, takes), -np.inf)))
    span = slice(at, at + takes)
    failing, unknown = gating.failing(span), gating.unknown(span)
    start = Moment(cells.at(at))
    return CureMiss(
        stopped=step.id,
        starts=cells.at(at),
        gates=(*failing, *unknown),
        text=clause("step-stopped-at", step=called(step), start=start, why=gating.reasons(span)),
    )


def _score(gating: Gating, takes: int) -> Array:
    """Return how near each start comes: the sum over gates of what they fail by; not knowing is as bad as failing."""
    score = np.zeros(len(gating.passes))
    for gate, margin in gating.margins.items():
        scale = SCALE.get(gate)
        # A gate without a scale, such as rain now, is met or not: it costs as much as three errors of a forecast.
        by = np.where(margin < 0, -3.0, 0.0) if scale is None else np.minimum(margin / scale, 0.0)
        least = clockwork.ahead(np.where(np.isnan(margin), -3.0, by), takes)
        score += np.nan_to_num(least, nan=-9.0)
    return score


def totals(case: ForecastCase) -> dict[str, float]:
    """Return for how long the weather of the hour passes, by the gates that look neither ahead nor back."""
    own = case.gatings["coat"]
    now = np.ones(len(case.cells), dtype=bool)
    with np.errstate(invalid="ignore"):
        for gate, margin in own.margins.items():
            if not gate.endswith(("-later", "-before")):
                now &= margin >= 0
    step = case.cells.step
    return {
        "passing_time": float(now.sum()) * step,
        "passing_daylight": float((now & case.cells.daylight).sum()) * step,
        "longest_passing": float(runs(now).max(initial=0.0)) * step,
    }


def hours(case: ForecastCase) -> tuple[CureHour, ...] | None:
    """Return a row for each step of the weather; of very long weather none, and None where they are not asked for."""
    cells, own, count = case.cells, case.gatings["coat"], len(case.cells.hours)
    if case.r.brief:
        return None
    if count > MOST_ROWS:
        return ()
    firsts = np.arange(count) * cells.part
    fails = {gate: margin[firsts] < 0 for gate, margin in own.margins.items()}
    gaps = {gate: np.isnan(margin[firsts]) for gate, margin in own.margins.items()}
    return tuple(
        CureHour(
            id=cells.hours.at(index).isoformat(timespec="minutes"),
            passing=bool(own.passes[cell]),
            failed=tuple(gate for gate, flags in fails.items() if flags[index]),
            unknown=tuple(gate for gate, flags in gaps.items() if flags[index]),
            surface_temperature=float(cells.face[cell]),
            dew_point_spread=float(cells.spread[cell]),
            cure_rate=float(case.clock.slow[cell]),
        )
        for index, cell in enumerate(firsts)
    )
