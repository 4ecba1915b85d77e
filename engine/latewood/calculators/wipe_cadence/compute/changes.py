"""What might be done otherwise: each tried by the same clock, none listed that does not help."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.dwell import windows
from latewood.calculators.wipe_cadence.compute.run_plan import ORDER, RunPlan, plan
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.resolved import STANDARD, Resolved
from latewood.uncertainty import spread

#: A change that saves less of the time than this, and leaves the verdict as it is, is not worth a line.
WORTH: Final = 0.10


def changes(r: Resolved, setting: Setting, now: RunPlan) -> Iterator[CadenceChange]:
    """Yield what would let the crew keep up, or be done sooner; what helps most comes first."""
    found, verdict = [], now.verdict
    for place, (id, words, other) in enumerate(_others(r, setting)):
        then = plan(r.runs, other)
        better = ORDER.index(then.verdict) < ORDER.index(verdict)
        sooner = then.verdict == verdict != "no" and then.duration < (1 - WORTH) * now.duration
        if better or sooner:
            found.append((ORDER.index(then.verdict), then.duration, place, id, words, then))
    for *_, id, words, then in sorted(found, key=lambda one: one[:3]):
        slow = "" if then.verdict == "yes" else " at the typical pace, not at the slow one"
        widths = bands_of(then.narrowest)
        yield CadenceChange(
            id=id,
            verdict=then.verdict,
            courses_per_band=then.narrowest,
            duration=then.duration,
            text=f"{words}: the crew keeps up{slow}, in {widths}, {then.duration / 3600:.1f} h in all.",
        )


def _others(r: Resolved, setting: Setting) -> Iterator[tuple[str, str, Setting]]:
    crew = setting.crew
    yield "one-wiper-more", "One more with a cloth", replace(setting, crew=replace(crew, wipers=crew.wipers + 1))
    yield "one-applier-more", "One more who lays", replace(setting, crew=replace(crew, appliers=crew.appliers + 1))
    if "cut-in" in r.paces and not crew.cutters:
        yield "somebody-cuts-in", "Somebody who only cuts in", replace(setting, crew=replace(crew, cutters=1))
    if setting.ahead:
        yield "cut-in-with-the-band", "Edges cut in with their own band", replace(setting, ahead=0)
    if setting.asked is not None:
        yield "free-width", "Bands of another width", replace(setting, asked=None)
    reach = spread.central(r.regime.long_reach.number)
    if reach > setting.arm_reach:
        yield "pad-on-a-pole", f"A pad on a pole that reaches {reach:.1f} m", replace(setting, arm_reach=reach)
    if r.temperature > STANDARD:
        wipe, second = windows(r, STANDARD)
        cooler = replace(setting, wipe=wipe, second=second)
        yield "shade", "Boards of 23 °C: in shade, early, or in the evening", cooler


def bands_of(courses: int) -> str:
    """Return how wide bands are, in words."""
    return "bands of a single course" if courses == 1 else f"bands of up to {courses} courses"
