"""From inputs to the result: the rhythm of every stretch, one after another, and what comes of it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any, Final

from latewood.calculators.wipe_cadence import findings
from latewood.calculators.wipe_cadence.changes import changes
from latewood.calculators.wipe_cadence.choose import Setting, choose
from latewood.calculators.wipe_cadence.cloths import cloths, duties
from latewood.calculators.wipe_cadence.crew_simulation import Played, play
from latewood.calculators.wipe_cadence.defaults import Settled, settle
from latewood.calculators.wipe_cadence.fields import CadenceRunRow, Verdict
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.rows import bands, events, row
from latewood.calculators.wipe_cadence.run_plan import RunPlan, SegmentPlan
from latewood.calculators.wipe_cadence.run_segments import stretches
from latewood.calculators.wipe_cadence.validation import refuse_ahead
from latewood.calculators.wipe_cadence.worked_steps import work
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.rules.waste import by_pieces, heats_itself

#: Verdicts from the best to the worst.
ORDER: Final[tuple[Verdict, ...]] = ("yes", "at-risk", "no")


def way(settled: Settled, setting: Setting) -> RunPlan:
    """Go over every run."""
    legs, now = [], 0.0
    for run in settled.runs:
        for stretch in stretches(run):
            chosen = choose(stretch, setting)
            legs.append(SegmentPlan(stretch, chosen, now))
            if chosen.played is not None:
                now += chosen.played.duration + setting.typical.turn
    verdict = max((leg.chosen.verdict for leg in legs), key=ORDER.index)
    return RunPlan(tuple(legs), verdict, now - setting.typical.turn)


def slow_duration(found: RunPlan, setting: Setting) -> float:
    """Return how long the same bands take a slow crew."""
    total = -setting.slow.turn
    for leg in found.legs:
        if leg.chosen.played is not None:
            total += _slow(leg, leg.chosen.played, setting).duration + setting.slow.turn
    return total


def _slow(leg: SegmentPlan, typical: Played, setting: Setting) -> Played:
    args = leg.stretch, typical.sizes, leg.chosen.wet, setting.crew, setting.slow, setting.wipe, setting.second
    return play(*args, setting.ahead, to_end=True) or typical


def answer(x: Inputs, ledger: Ledger, known: RecordLookup) -> dict[str, Any]:
    """Return the fields of the result."""
    for fact in ("binder", "film", "wiped"):
        ledger.fact(fact, getattr(x.coating, fact))
    settled = settle(x, ledger, known)
    area = math.fsum(run.courses * run.course_length * run.pitch for run in settled.runs)
    if why := findings.beyond(x, settled, ledger):
        return _nothing(f"No: {why}", area, settled)
    refuse_ahead(x, settled)
    setting = settled.setting
    found = way(settled, setting)
    others = tuple(changes(x, settled, found.verdict, lambda other: way(settled, other), found, known))
    findings.conditions(settled, ledger)
    findings.outcome(found, settled, others, ledger)
    if ledger.steps is not None:
        work(found, settled, ledger)
    done = found.verdict != "no"
    played = [(leg, leg.chosen.played) for leg in found.legs if leg.chosen.played is not None]
    rows = tuple(_runs(found, settled)) if done else ()
    shown = (
        tuple(band for leg, one in played for band in bands(leg.stretch, one, leg.chosen.bands, leg.starts))
        if done
        else ()
    )
    wanted, most = cloths(x, settled, area, ledger)
    oil = heats_itself(x.coating.binder, known)
    left = by_pieces("finish-cloths", wanted, ledger, known, oil=oil)
    return {
        "verdict": found.verdict,
        "text": findings.sentence(found, settled, others),
        "regime": settled.regime,
        "wipe_after": setting.wipe.due,
        "wipe_by": setting.wipe.by,
        "second_coat_after": None if setting.second is None else setting.second.due,
        "second_coat_by": None if setting.second is None else setting.second.by,
        "area": area,
        "courses_per_band": found.narrowest,
        "duration": found.duration if done else None,
        "slow_duration": slow_duration(found, setting) if done else None,
        "least_dwell": found.least_dwell if done else None,
        "most_dwell": found.most_dwell if done else None,
        "runs": rows,
        "bands": shown,
        "timeline": tuple(events(shown, settled, found)) if done else (),
        "changes": others,
        "cloths": wanted,
        "most_cloths": most,
        "duties": tuple(duties(left, oil, wanted, most, len(shown))),
        "waste": (left,),
    }


def _nothing(why: str, area: float, settled: Settled) -> dict[str, Any]:
    """Return the result where nobody coats: no time, band or cloth is an instruction then."""
    empty = dict.fromkeys(("runs", "bands", "timeline", "changes", "duties"), ())
    counts = dict.fromkeys(("courses_per_band", "cloths", "most_cloths"), 0)
    return {"verdict": "no", "text": why, "regime": settled.regime, "area": area, **empty, **counts}


def _runs(found: RunPlan, settled: Settled) -> Iterator[CadenceRunRow]:
    for run in settled.runs:
        legs = [leg for leg in found.legs if leg.stretch.run == run.id]
        yield row(run, [(leg.stretch, leg.chosen) for leg in legs], settled.setting)
