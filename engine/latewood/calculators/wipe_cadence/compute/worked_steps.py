"""The working of one band: what its first course takes, and how long its first wood is wet."""

from __future__ import annotations

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.run_plan import RunPlan
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.formulas import cadence
from latewood.messages import Count, Name, clause
from latewood.provenance import Ledger
from latewood.uncertainty.spread import Number


def work(found: RunPlan, r: Resolved, setting: Setting, ledger: Ledger) -> None:
    """Write the steps of the first segment, at the typical pace."""
    part = found.segments[0]
    course, crew, paces = part.segment.courses[0], r.crew, r.paces
    about = clause("one-course", course=Count(course.number), run=Name(part.segment.run))
    area = ledger.step(cadence.course_area, about, pitch=course.pitch, course_length=course.length)
    lay = ledger.step(
        cadence.course_time, clause("laying-of", what=about), area=area, people=crew.appliers, pace=paces["lay"]
    )
    wipe = ledger.step(
        cadence.course_time, clause("wiping-of", what=about), area=area, people=crew.wiping, pace=paces["wipe"]
    )
    cut: Number = 0.0
    if course.edge > 0:
        cut = ledger.step(
            cadence.cut_in_time, about, edge_length=course.edge, people=crew.cutting, pace=paces["cut-in"]
        )
    ledger.step(cadence.courses_within, clause("until-the-deadline"), time=setting.wipe.by, course_time=lay)
    if part.chosen.simulated is None or crew.wipers or crew.cutters or setting.second is not None:
        return
    ledger.step(
        cadence.first_wait,
        clause("first-band-of", run=Name(part.segment.run)),
        courses=part.chosen.simulated.sizes[0],
        cut_in_time=cut,
        course_time=lay,
        turn_time=r.turn,
        wiping_time=wipe,
    )
