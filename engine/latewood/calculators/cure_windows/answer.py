"""The answer: the verdict with its sentence, and the weather step by step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from latewood.calculators.cure_windows.compute import Found
from latewood.calculators.cure_windows.compute.windows import hours, totals
from latewood.calculators.cure_windows.findings import breaks_of, opens
from latewood.calculators.cure_windows.resolved import Resolved
from latewood.calculators.cure_windows.result import Result
from latewood.messages import Clause, Code, Moment, clause


def answer(r: Resolved, found: Found, asked: Sequence[str | Clause]) -> Result:
    """Return what was found, or nothing of it where the coating does not go over the old one."""
    if r.over.refused:
        stopped = replace(found.chosen, verdict="no", laid=None)
        found = replace(found, chosen=stopped, windows=(), miss=None, timeline=(), hand_over=())
    verdict = found.chosen.verdict
    first = tuple(one if isinstance(one, Clause) else clause("as-said", words=Code(one)) for one in asked)
    return Result(
        verdict="conditional" if first and verdict == "yes" else verdict,
        first=() if verdict == "no" else first,
        text=_sentence(r, found, first),
        **totals(found.case),
        windows=found.windows,
        timeline=found.timeline,
        hand_over=found.hand_over,
        proposals=found.proposals or (),
        nearest=found.miss,
        rain_risk=found.risk,
        hours=hours(found.case),
    )


def _sentence(r: Resolved, found: Found, first: tuple[Clause, ...]) -> Clause:
    """Return the answer in a sentence or two."""
    chosen, windows, miss = found.chosen, found.windows, found.miss
    if r.over.refused:
        return clause("not-on-this-film", why=r.over.why)
    if chosen.asked and chosen.verdict == "no":
        best = [clause("best-start", start=Moment(one.best_start)) for one in windows[:1]] or opens(found)
        return clause("asked-start-no", why=chosen.why, best=best)
    if chosen.laid is None:
        return clause(
            "no-window", opens=opens(found), nearest=[] if miss is None else [clause("nearest-miss", what=miss.text)]
        )
    start = Moment(found.case.cells.at(chosen.laid.begins[0]))
    after = opens(found) + [line.text for line in found.hand_over if line.id == "walk"]
    if first:
        if chosen.breaks:
            breaks = breaks_of(chosen)
            return clause("start-conditional-at-risk", first=[*first], start=start, breaks=breaks, after=after)
        return clause("start-conditional", first=[*first], start=start, after=after)
    if chosen.breaks:
        return clause("start-at-risk", start=start, breaks=breaks_of(chosen), after=after)
    return clause("start-yes", start=start, after=after)
