"""The weather step by step, and how much of it passes."""

from __future__ import annotations

from typing import Final

import numpy as np

from latewood.calculators.cure_windows.fields import CureHour
from latewood.calculators.cure_windows.forecast_case import ForecastCase
from latewood.calculators.cure_windows.search import runs
from latewood.provenance import Ledger

#: Rows of an answer: three weeks of hours. A year of them is ten megabytes that nobody reads.
MOST_ROWS: Final = 504


def totals(given: ForecastCase) -> dict[str, float]:
    """Return for how long the weather of the hour passes, by the gates that look neither ahead nor back."""
    own = given.gatings["coat"]
    now = np.ones(len(given.cells), dtype=bool)
    with np.errstate(invalid="ignore"):
        for gate, margin in own.margins.items():
            if not gate.endswith(("-later", "-before")):
                now &= margin >= 0
    step = given.cells.step
    return {
        "passing_time": float(now.sum()) * step,
        "passing_daylight": float((now & given.cells.daylight).sum()) * step,
        "longest_passing": float(runs(now).max(initial=0.0)) * step,
    }


def hours(given: ForecastCase, ledger: Ledger) -> tuple[CureHour, ...]:
    """Return a row for each step of the weather; of very long weather none, and a finding."""
    cells, own = given.cells, given.gatings["coat"]
    count = len(cells.hours)
    if count > MOST_ROWS:
        message = f"the weather has {count} steps; rows are written for up to {MOST_ROWS}"
        ledger.find("hours-left-out", "note", message, pointer="/weather", steps=count)
        return ()
    firsts = np.arange(count) * cells.part
    fails = {gate: margin[firsts] < 0 for gate, margin in own.margins.items()}
    gaps = {gate: np.isnan(margin[firsts]) for gate, margin in own.margins.items()}
    rows = []
    for index, cell in enumerate(firsts):
        rows.append(
            CureHour(
                id=cells.hours.at(index).isoformat(timespec="minutes"),
                passing=bool(own.passes[cell]),
                failed=tuple(gate for gate, flags in fails.items() if flags[index]),
                unknown=tuple(gate for gate, flags in gaps.items() if flags[index]),
                surface_temperature=float(cells.face[cell]),
                dew_point_spread=float(cells.spread[cell]),
                cure_rate=float(given.clock.slow[cell]),
            )
        )
    return tuple(rows)
