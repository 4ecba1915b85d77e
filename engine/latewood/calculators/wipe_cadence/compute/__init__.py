"""From boards, crew and paces to bands, what happens when, and what would help."""

from __future__ import annotations

import math
from dataclasses import dataclass

from latewood.calculators.wipe_cadence.compute.changes import changes
from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.run_plan import RunPlan, plan
from latewood.calculators.wipe_cadence.compute.worked_steps import work
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.formulas import cadence
from latewood.provenance import Ledger
from latewood.uncertainty import spread


@dataclass(frozen=True)
class Found:
    """The bands of every run, what would help, and how many cloths: by the median, and nine times in ten."""

    plan: RunPlan
    changes: tuple[CadenceChange, ...]
    cloths: int
    most_cloths: int


def compute(r: Resolved, setting: Setting, ledger: Ledger) -> Found:
    """Plan every run, try what would help, and count the cloths: by what is laid on, else by the area."""
    found = plan(r.runs, setting)
    others = tuple(changes(r, setting, found))
    if ledger.steps is not None:
        work(found, r, setting, ledger)
    if r.applied is not None:
        wanted = ledger.step(cadence.cloths_by_volume, applied=r.applied, cloth_volume=r.cloth)
    else:
        wanted = ledger.step(cadence.cloths_by_area, area=r.area, cloth_area=r.cloth)
    # Everybody who wipes begins with a cloth of their own.
    most, median = (max(math.ceil(of(wanted) - 1e-9), r.crew.wiping) for of in (spread.high, spread.value))
    return Found(found, others, median, most)
