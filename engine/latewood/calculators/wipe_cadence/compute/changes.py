"""What might be done otherwise: each tried by the same clock, none listed that does not help."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.dwell import windows
from latewood.calculators.wipe_cadence.compute.run_plan import ORDER, RunPlan, plan, plan_within
from latewood.calculators.wipe_cadence.fields import CadenceChange
from latewood.calculators.wipe_cadence.resolved import STANDARD, Resolved
from latewood.messages import Clause, Count, Length, Time, clause
from latewood.uncertainty import spread

#: A change that saves less of the time than this, and leaves the verdict as it is, is not worth a line.
WORTH: Final = 0.10


def changes(r: Resolved, setting: Setting, now: RunPlan) -> Iterator[CadenceChange]:
    """Yield what would let the crew keep up, or be done sooner; what helps most comes first."""
    found, verdict = [], now.verdict
    for place, (change, other) in enumerate(_others(r, setting)):
        # What is in time already gains nothing but time.
        sooner_only = verdict == ORDER[0]
        then = plan_within(r.runs, other, (1 - WORTH) * now.duration) if sooner_only else plan(r.runs, other)
        if then is None:
            continue
        better = ORDER.index(then.verdict) < ORDER.index(verdict)
        sooner = then.verdict == verdict != "no" and then.duration < (1 - WORTH) * now.duration
        if better or sooner:
            found.append((ORDER.index(then.verdict), then.duration, place, change, then))
    for *_, change, then in sorted(found, key=lambda one: one[:3]):
        yield CadenceChange(
            id=change.id,
            verdict=then.verdict,
            courses_per_band=then.narrowest,
            duration=then.duration,
            text=clause(
                "change-keeps-up" if then.verdict == "yes" else "change-keeps-up-at-typical-pace",
                change=change,
                bands=bands_of(then.narrowest),
                duration=Time(then.duration),
            ),
        )


def _others(r: Resolved, setting: Setting) -> Iterator[tuple[Clause, Setting]]:
    crew = setting.crew
    yield clause("one-wiper-more"), replace(setting, crew=replace(crew, wipers=crew.wipers + 1))
    yield clause("one-applier-more"), replace(setting, crew=replace(crew, appliers=crew.appliers + 1))
    if "cut-in" in r.paces and not crew.cutters:
        yield clause("somebody-cuts-in"), replace(setting, crew=replace(crew, cutters=1))
    if setting.ahead:
        yield clause("cut-in-with-the-band"), replace(setting, ahead=0)
    if setting.asked is not None:
        yield clause("free-width"), replace(setting, asked=None)
    reach = spread.central(r.regime.long_reach.number)
    if reach > setting.arm_reach:
        yield clause("pad-on-a-pole", reach=Length(reach)), replace(setting, arm_reach=reach)
    if r.temperature > STANDARD:
        wipe, second = windows(r, STANDARD)
        cooler = replace(setting, wipe=wipe, second=second)
        yield clause("shade"), cooler


def bands_of(courses: int) -> Clause:
    """Return how wide bands are."""
    return clause("band-width", courses=Count(courses))
