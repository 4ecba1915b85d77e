"""The stretches of starts that work, ranked: how far inside the gates, and which error of the forecast closes them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.fields import CureWindow
from latewood.calculators.cure_windows.gate_messages import margin_text
from latewood.calculators.cure_windows.gates import SCALE, Gating
from latewood.calculators.cure_windows.search import Fit
from latewood.formulas import clockwork
from latewood.weather.hours import Array, Flags


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


def ranked(fit: Fit, coats: Sequence[int], gating: Gating, wrong: Mapping[str, Flags]) -> list[Ranked]:
    """Return the stretches of starts that lead to a finished job, the best first."""
    whole = np.flatnonzero(fit.whole)
    if not len(whole):
        return []
    starts = fit.starts[whole].astype(int)
    slack = _slack(fit, coats, gating)[whole]
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


def _slack(fit: Fit, coats: Sequence[int], gating: Gating) -> Array:
    """Return the tightest margin over all coats of each start, in errors of a forecast."""
    least = np.full(len(fit.starts), 9.0)
    inside = gating.slack()
    for place in coats:
        begin, end = fit.begins[place], fit.ends[place]
        known = np.isfinite(end)
        if not known.any():
            continue
        takes = int(np.min(end[known] - begin[known]))
        over = clockwork.ahead(inside, max(takes, 1))
        at = np.where(known, begin, 0).astype(int)
        least = np.minimum(least, np.where(known, np.nan_to_num(over[at], nan=-9.0), -9.0))
    return least


def window(place: int, one: Ranked, ends: float, coat: slice, gating: Gating, cells: Cells) -> CureWindow:
    """Return a stretch of starts as it is answered."""
    close = margins(gating, coat)
    gate, margin = close[0] if close else ("none", float("nan"))
    breaks = (*one.breaks, *cells.unsaid)
    return CureWindow(
        id=str(place),
        verdict="at-risk" if breaks else "yes",
        starts=cells.at(one.first),
        latest_start=cells.at(one.last),
        best_start=cells.at(one.best),
        ends=cells.at(ends),
        tightest_gate=gate,
        tightest=margin_text(gate, margin),
        margins=tuple(margin_text(*one) for one in close),
        breaks=breaks,
    )


def margins(gating: Gating, coat: slice) -> list[tuple[str, float]]:
    """Return gates with their margins in SI over the cells that pass, those first that come closest for their kind."""
    laid = np.flatnonzero(gating.passes[coat]) + coat.start
    found = [
        (float(np.min(margin[laid])) / SCALE[gate], gate)
        for gate, margin in gating.margins.items()
        if gate in SCALE and len(laid)
    ]
    return [(gate, share * SCALE[gate]) for share, gate in sorted(found) if not np.isnan(share)]
