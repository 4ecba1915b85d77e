"""Where nothing works: which step stops it, at what start it comes nearest, and by how much it fails."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.fields import CureMiss, WorkStep
from latewood.calculators.cure_windows.gates import SCALE, Gating
from latewood.calculators.cure_windows.search import Fit, after_coat, runs
from latewood.formulas import clockwork
from latewood.weather.hours import Array, Flags


def nearest_miss(
    steps: Sequence[WorkStep], gatings: Mapping[str, Gating], at_work: Flags, cells: Cells, family: Family, fitted: Fit
) -> CureMiss:
    """Return the step that has no place in the weather, and its nearest start; or that they have none together."""
    if not at_work.any():
        text = "nobody is at work, or there is no light, in any hour of the weather given"
        return CureMiss(stopped=steps[0].id, gates=("working-hours",), text=text)
    for place, step in enumerate(steps):
        takes = step.duration / cells.step + after_coat(steps, place, family, cells.step)
        may = gatings[step.kind].passes & at_work
        long = runs(at_work).max() < takes
        if long and may.any() and (hours := float(may.sum()) * cells.step / 3600) < step.duration / 3600 - 1e-9:
            text = (
                f"{step.id} takes {step.duration / 3600:.1f} h, and the weather given has {hours:.1f} h of working "
                "time that suit it: split the work, take more people, or ask with a longer forecast"
            )
            return CureMiss(stopped=step.id, gates=("too-short",), text=text)
        if may.any() if long else runs(may).max() >= takes - 1e-9:
            continue
        return _of(step, int(np.ceil(1 if long else takes)), gatings[step.kind], at_work, cells)
    blocked = next((place for place, ends in enumerate(fitted.ends) if not np.isfinite(ends).any()), len(steps) - 1)
    after = f"none that follow {steps[blocked - 1].id}" if blocked else "none that the rest can follow"
    text = (
        f"{steps[blocked].id} has its hours, but {after}: the wait between them, the time that boards may lie bare or "
        "a coat stay wet, or the end of the weather given comes between"
    )
    return CureMiss(stopped=steps[blocked].id, gates=("sequence",), text=text)


def _of(step: WorkStep, takes: int, gating: Gating, at_work: Flags, cells: Cells) -> CureMiss:
    whole = runs(at_work) >= takes
    if not whole.any():
        text = f"no working day is long enough for {step.id} in one go"
        return CureMiss(stopped=step.id, gates=("working-hours",), text=text)
    at = int(np.argmax(np.where(whole, _score(gating, takes), -np.inf)))
    span = slice(at, at + takes)
    failing, unknown = gating.failing(span), gating.unknown(span)
    return CureMiss(
        stopped=step.id,
        starts=cells.at(at),
        gates=(*failing, *unknown),
        text=f"{step.id} at {cells.at(at):%Y-%m-%d %H:%M}: " + "; ".join(gating.reasons(span)),
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
