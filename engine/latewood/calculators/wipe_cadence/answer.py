"""The answer: the plan, or why nothing is laid."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import msgspec

from latewood.calculators.wipe_cadence.compute import Found
from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.rows import bands, events, row
from latewood.calculators.wipe_cadence.compute.run_plan import slow_duration
from latewood.calculators.wipe_cadence.fields import ClothDuty
from latewood.calculators.wipe_cadence.findings import sentence
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.calculators.wipe_cadence.result import Result
from latewood.messages import Clause, Count, clause
from latewood.rules.waste import WasteRow


def nothing(r: Resolved, why: Clause) -> Result:
    """Return the answer where nothing is laid: no time, band or cloth is an instruction then."""
    return Result(
        verdict="no",
        text=why,
        regime=r.regime,
        area=r.area,
        courses_per_band=0,
        runs=(),
        bands=(),
        timeline=(),
        changes=(),
        cloths=0,
        most_cloths=0,
        duties=(),
    )


def answer(r: Resolved, setting: Setting, found: Found, cloths: WasteRow) -> Result:
    """Return the plan; without bands where the crew does not keep up, or where nothing may be laid on the old coat."""
    plan, second = found.plan, setting.second
    windows: dict[str, Any] = {
        "wipe_after": setting.wipe.due,
        "wipe_by": setting.wipe.by,
        "second_coat_after": None if second is None else second.due,
        "second_coat_by": None if second is None else second.by,
        "waste": (cloths,),
    }
    if r.over.refused:
        return msgspec.structs.replace(nothing(r, clause("not-on-this-film", why=r.over.why)), **windows)
    done = plan.verdict != "no"
    shown = tuple(bands(plan)) if done else ()
    return Result(
        verdict=plan.verdict,
        text=sentence(r, setting, found),
        regime=r.regime,
        area=r.area,
        courses_per_band=plan.narrowest,
        duration=plan.duration if done else None,
        slow_duration=slow_duration(plan, setting) if done else None,
        least_dwell=plan.least_dwell if done else None,
        most_dwell=plan.most_dwell if done else None,
        runs=tuple(row(run, plan, setting) for run in r.runs) if done else (),
        bands=shown,
        timeline=tuple(events(shown, setting)),
        changes=found.changes,
        cloths=found.cloths,
        most_cloths=found.most_cloths,
        duties=tuple(_duties(cloths, r.oil, found.cloths, found.most_cloths, len(shown))),
        **windows,
    )


def _duties(cloths: WasteRow, oil: bool, wanted: int, most: int, bands: int) -> Iterator[ClothDuty]:
    """Yield what must be done with the cloths: of any coating that holds oil, or may."""
    ending = list(cloths.ending)
    if not oil:
        message = clause("cloths-after", cloths=Count(wanted), most=Count(most), ending=ending)
        yield ClothDuty(id="after", message=message)
        return
    yield ClothDuty(id="before", message=clause("cloths-before", most=Count(most)))
    yield ClothDuty(id="each-band", message=clause("cloths-each-band", bands=Count(max(bands, 1))))
    yield ClothDuty(id="end-of-day", message=clause("cloths-end-of-day", cloths=Count(wanted), ending=ending))
