"""What might be done otherwise: each tried by the same clock, none listed that does not help."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from latewood.calculators.wipe_cadence.choose import Setting
from latewood.calculators.wipe_cadence.defaults import Settled, at_temperature
from latewood.calculators.wipe_cadence.dwell import STANDARD
from latewood.calculators.wipe_cadence.fields import CadenceChange, Verdict
from latewood.calculators.wipe_cadence.findings import bands_of
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.run_plan import RunPlan
from latewood.declare import RecordLookup
from latewood.uncertainty import spread

#: A change that saves less of the time than this, and leaves the verdict as it is, is not worth a line.
WORTH: Final = 0.10
_RANK: Final[dict[Verdict, int]] = {"yes": 0, "at-risk": 1, "no": 2}


def changes(
    x: Inputs,
    settled: Settled,
    verdict: Verdict,
    tried: Callable[[Setting], RunPlan],
    now: RunPlan,
    known: RecordLookup,
) -> Iterator[CadenceChange]:
    """Yield what would let the crew keep up, or be done sooner; what helps most comes first."""
    found = []
    for place, (id, words, other) in enumerate(_others(x, settled, known)):
        then = tried(other)
        better = _RANK[then.verdict] < _RANK[verdict]
        sooner = then.verdict == verdict != "no" and then.duration < (1 - WORTH) * now.duration
        if better or sooner:
            found.append((_RANK[then.verdict], then.duration, place, id, words, then))
    for *_, id, words, then in sorted(found, key=lambda one: one[:3]):
        keeps = (
            "the crew keeps up"
            if then.verdict == "yes"
            else "the crew keeps up at the typical pace, not at the slow one"
        )
        yield CadenceChange(
            id=id,
            verdict=then.verdict,
            courses_per_band=then.narrowest,
            duration=then.duration,
            text=f"{words}: {keeps}, in {bands_of(then.narrowest)}, {then.duration / 3600:.1f} h in all.",
        )


def _others(x: Inputs, settled: Settled, known: RecordLookup) -> Iterator[tuple[str, str, Setting]]:
    setting = settled.setting
    crew = setting.crew
    yield "one-wiper-more", "One more with a cloth", replace(setting, crew=replace(crew, wipers=crew.wipers + 1))
    yield "one-applier-more", "One more who lays", replace(setting, crew=replace(crew, appliers=crew.appliers + 1))
    if "cut-in" in settled.paces and not crew.cutters:
        yield "somebody-cuts-in", "Somebody who only cuts in", replace(setting, crew=replace(crew, cutters=1))
    if setting.ahead:
        yield "cut-in-with-the-band", "Edges cut in with their own band", replace(setting, ahead=0)
    if setting.asked is not None:
        yield "free-width", "Bands of another width", replace(setting, asked=None)
    reach = spread.central(settled.regime.long_reach.number)
    if reach > setting.arm_reach:
        yield "pad-on-a-pole", f"A pad on a pole that reaches {reach:.1f} m", replace(setting, arm_reach=reach)
    if settled.temperature > STANDARD:
        cooler = at_temperature(settled, x, STANDARD, known)
        yield "shade", "Boards of 23 °C: in shade, early, or in the evening", cooler
