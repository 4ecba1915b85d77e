"""What the hours of work bring with them: heat, dark, sanding and washing, as cautions go by."""

from __future__ import annotations

import numpy as np

from latewood.calculators.cure_windows.assessment import Assessed
from latewood.calculators.cure_windows.cells import Cells
from latewood.calculators.cure_windows.family import Family
from latewood.calculators.cure_windows.inputs import Inputs
from latewood.calculators.cure_windows.timeline import Laid, dwell_at
from latewood.formulas import heat
from latewood.provenance import Ledger
from latewood.rules.work import state_heat, state_mains, state_sanding
from latewood.weather.hours import Flags


def state(x: Inputs, chosen: Assessed, cells: Cells, at_work: Flags, family: Family, ledger: Ledger) -> None:
    """State what the work brings with it, where there is a start that may be taken."""
    laid = chosen.laid
    if laid is None or chosen.verdict == "no":
        return
    busy = _busy(laid, cells, at_work)
    if busy.any():
        index = heat.heat_index(temperature=cells.air[busy], relative_humidity=cells.humidity[busy])
        state_heat(ledger, float(np.nanmax(index)))
    ledger.fact("after_dark", bool((busy & ~cells.daylight).any()) or _wiped_late(laid, cells, family))
    if x.shift is not None and not x.shift.daylight_only and (at_work & ~cells.daylight).any():
        # Windows are looked for at night too: another start of the list may lie there.
        ledger.fact("after_dark", True)
    kinds = {step.kind for step in laid.steps}
    rains = cells.rain is not None and bool((np.nan_to_num(cells.rain) > 0).any()) and not cells.sheltered
    if "sand" in kinds:
        state_sanding(ledger, wet=rains or "clean" in kinds)
    if "clean" in kinds:
        ledger.fact("washing", True)
        state_mains(ledger, "wet")


def _busy(laid: Laid, cells: Cells, at_work: Flags) -> Flags:
    """Say in which cells people are at work, from the first step to the last."""
    busy = np.zeros(len(cells), dtype=bool)
    for begin, end in zip(laid.begins, laid.ends, strict=True):
        busy[int(begin) : int(np.ceil(end))] = True
    return busy & at_work


def _wiped_late(laid: Laid, cells: Cells, family: Family) -> bool:
    """Say whether what was laid last is wiped when the sun is down."""
    if family.dwell is None or family.wipe is None:
        return False
    for place in laid.coats:
        last = min(max(int(np.ceil(laid.ends[place])) - 1, 0), len(cells) - 1)
        done = laid.ends[place] + dwell_at(cells, family, last)[1] / cells.step
        if not cells.daylight[min(int(np.ceil(done)) - 1, len(cells) - 1)]:
            return True
    return False
