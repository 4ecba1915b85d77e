"""The answer: the verdict with its sentence, and the weather step by step."""

from __future__ import annotations

from dataclasses import replace

from latewood.calculators.cure_windows.compute import Found
from latewood.calculators.cure_windows.compute.windows import hours, totals
from latewood.calculators.cure_windows.findings import reasons
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.calculators.cure_windows.result import Result


def answer(r: Resolved, found: Found, first: tuple[str, ...]) -> Result:
    """Return what was found, or nothing of it where the coating does not go over the old one."""
    if r.over.refused:
        stopped = replace(found.chosen, verdict="no", laid=None)
        found = replace(found, chosen=stopped, windows=(), miss=None, timeline=(), hand_over=())
    verdict = found.chosen.verdict
    return Result(
        verdict="conditional" if first and verdict == "yes" else verdict,
        first=() if verdict == "no" else first,
        text=_sentence(r, found, first),
        **totals(found.case),
        windows=found.windows,
        timeline=found.timeline,
        hand_over=found.hand_over,
        nearest=found.miss,
        rain_risk=found.risk,
        hours=hours(found.case),
    )


def _sentence(r: Resolved, found: Found, first: tuple[str, ...]) -> str:
    """Return the answer in a sentence or two."""
    chosen, windows, miss = found.chosen, found.windows, found.miss
    if r.over.refused:
        return f"No: {r.over.why}."
    if chosen.asked and chosen.verdict == "no":
        other = f" The best start is {windows[0].best_start:%A %d %B, %H:%M}." if windows else ""
        return "No: " + "; ".join(chosen.why) + "." + other
    if chosen.laid is None:
        return "No: there is no window in this weather." + (f" Nearest: {miss.text}." if miss is not None else "")
    begins = f"{found.case.cells.at(chosen.laid.begins[0]):%A %d %B, %H:%M}"
    after = "".join(f" {line.text}" for line in found.hand_over if line.id == "walk")
    if first:
        before = f"first {'; '.join(first)}. Then"
        risk = f" It fails if {reasons(chosen)}." if chosen.breaks else ""
        return f"{'At risk' if chosen.breaks else 'Conditional'}: {before} start {begins}.{risk}{after}"
    if chosen.breaks:
        return f"At risk: start {begins}; it fails if {reasons(chosen)}.{after}"
    return f"Yes: start {begins}.{after}"
