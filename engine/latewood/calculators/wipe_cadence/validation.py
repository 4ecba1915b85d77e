"""What is refused before anything is reckoned: a whole edge cut in first, a way that ends on wet boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from latewood.calculators.wipe_cadence.defaults import Settled, runs_of
from latewood.calculators.wipe_cadence.fields import EXIT, CadenceRun
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.problems import Fault, InputProblem, nearest
from latewood.records import Coating
from latewood.uncertainty import spread

#: By how many bands cutting in may run ahead of the field.
MOST_AHEAD = 1
#: More boards than any crew coats at one go; the clock runs over each of them many times.
MOST_COURSES = 400
_SINGLE = ("course_length", "pitch", "courses")


def refuse(x: Inputs) -> None:
    """Raise `InputProblem` with every conflict that shows without reckoning."""
    faults = [*_floor(x), *_family(x), *_sheet(x), *_crew(x)]
    if not faults:
        faults = [*_way(runs_of(x), "/runs" if x.runs else "")]
    if faults:
        raise InputProblem(faults)


def _sheet(x: Inputs) -> Iterator[Fault]:
    wipe = None if x.product is None else x.product.wipe
    longest = None if x.product is None else x.product.longest_wipe
    if wipe is not None and longest is not None and longest < spread.low(wipe) * (1 - 1e-9):
        detail = "the longest time to wiping is over before the first time to wipe"
        expected = "a longest time no shorter than wipe"
        yield Fault(pointer="/product/longest_wipe", code="conflict", detail=detail, expected=expected)
    coldest, hottest = (None, None) if x.product is None else (x.product.coldest, x.product.hottest)
    if coldest is not None and hottest is not None and hottest <= coldest:
        detail = "boards may not be as warm as they must be"
        yield Fault(pointer="/product/hottest", code="conflict", detail=detail, expected="more than coldest")


def wiped(coating: Coating) -> bool:
    """Say whether a family's excess is wiped off, and it says when."""
    return not coating.bare and {"dwell", "cure-clock"} <= coating.models.keys()


def refuse_ahead(x: Inputs, settled: Settled) -> None:
    """Raise `InputProblem` where edges are to be cut in further ahead than the band they border on."""
    if settled.setting.ahead <= MOST_AHEAD:
        return
    detail = f"cutting in belongs to the band it borders on, never more than {MOST_AHEAD} band ahead"
    edge = sum(_edge(run) for run in settled.runs)
    if edge > 0:
        takes = edge / (settled.setting.crew.cutting * spread.value(settled.paces["cut-in"]))
        due, by = settled.setting.wipe.due, settled.setting.wipe.by
        detail += (
            f": {edge:.1f} m of edge take {takes / 60:.0f} min, and what was cut in first is due after "
            f"{due / 60:.3g} and too late after {by / 60:.3g} min"
        )
    raise InputProblem([Fault(pointer="/edges_ahead", code="conflict", detail=detail, expected="0 or 1")])


def _edge(run: CadenceRun) -> float:
    return (run.edge_length or 0.0) + (run.first_edge or 0.0) + (run.last_edge or 0.0)


def _floor(x: Inputs) -> Iterator[Fault]:
    given = [name for name in _SINGLE if getattr(x, name) is not None]
    if x.runs and (given or x.edge_length is not None):
        detail = "runs and a single run are both given"
        yield Fault(
            pointer="/runs", code="conflict", detail=detail, expected="either runs, or one length, pitch, number"
        )
    elif not x.runs:
        for name in _SINGLE:
            if name not in given:
                detail = "a single run needs its length, its pitch and its number of courses"
                yield Fault(pointer=f"/{name}", code="missing", detail=detail, expected="all three, or runs")


def _family(x: Inputs) -> Iterator[Fault]:
    if not wiped(x.coating):
        detail = f"nothing is wiped off {x.coating.title}, or nothing is known of when"
        yield Fault(pointer="/coating", code="conflict", detail=detail, expected="a family whose excess is wiped off")


def _crew(x: Inputs) -> Iterator[Fault]:
    if x.gap_pace is not None and x.gap_faces != "coated":
        detail = "a pace of brushing into gaps says nothing where gaps are not coated"
        yield Fault(pointer="/gap_pace", code="conflict", detail=detail, expected="gap_faces coated")


def _way(runs: Sequence[CadenceRun], at: str) -> Iterator[Fault]:
    names = [run.id for run in runs]
    count = sum(run.courses for run in runs)
    if count > MOST_COURSES:
        detail = f"the runs have {count} courses together"
        expected = f"at most {MOST_COURSES} in one plan; a day's work is less"
        yield Fault(pointer="/runs", code="conflict", detail=detail, expected=expected)
    for place, run in enumerate(runs):
        here = f"{at}/{place}" if at else ""
        if run.id in names[:place]:
            yield Fault(pointer=f"{here}/id", code="repeated", detail=f"two runs are named {run.id}")
        if run.exit_course is not None and run.exit_course > run.courses:
            detail = f"the run has {run.courses} courses"
            yield Fault(pointer=f"{here}/exit_course", code="conflict", detail=detail, expected="one of its courses")
        for index, number in enumerate(run.break_after):
            if number >= run.courses:
                detail = f"the run has {run.courses} courses, and ends after the last anyway"
                expected = "the number of an earlier course"
                yield Fault(pointer=f"{here}/break_after/{index}", code="conflict", detail=detail, expected=expected)
        yield from _off(run, place, names, here)


def _off(run: CadenceRun, place: int, names: list[str], here: str) -> Iterator[Fault]:
    to = run.leads_to
    if to is None or to == EXIT or to in names[place + 1 :]:
        return
    expected = "exit, or a run that comes later and is dry yet"
    if to in names:
        detail = f"the way off {run.id} leads over {to}, which is wet by then: nobody crosses wet boards"
        yield Fault(pointer=f"{here}/leads_to", code="conflict", detail=detail, expected=expected)
    else:
        close = nearest(to, [*names, EXIT])
        detail = f"no run is named {to}"
        yield Fault(pointer=f"{here}/leads_to", code="unknown-id", detail=detail, expected=expected, nearest=close)
