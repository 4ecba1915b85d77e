"""What is refused before anything is computed: a whole edge cut in first, a way that ends on wet boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.fields import EXIT, CadenceProduct, CadenceRun
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.problems import Fault, InputProblem, conflict, missing, nearest
from latewood.records import Coating
from latewood.rules.faces import WHOLE
from latewood.uncertainty import spread

#: By how many bands cutting in may run ahead of the field.
MOST_AHEAD = 1
#: More boards than any crew coats at one go; the clock runs over each of them many times.
MOST_COURSES = 400
_SINGLE = ("course_length", "pitch", "courses")


def check(x: Inputs) -> None:
    """Raise `InputProblem` with every conflict that shows without computing."""
    InputProblem.raise_any([*_floor(x), *_family(x), *_sheet(x), *_crew(x)])
    InputProblem.raise_any(_way(runs_of(x), "/runs" if x.runs else ""))


def runs_of(x: Inputs) -> tuple[CadenceRun, ...]:
    """Return the runs; a single one has the name of the whole."""
    if x.runs or x.course_length is None or x.pitch is None or x.courses is None:
        return x.runs
    return (
        CadenceRun(
            id=WHOLE, course_length=x.course_length, pitch=x.pitch, courses=x.courses, edge_length=x.edge_length
        ),
    )


def _sheet(x: Inputs) -> Iterator[Fault]:
    product = x.product or CadenceProduct()
    wipe, longest, coldest, hottest = product.wipe, product.longest_wipe, product.coldest, product.hottest
    if wipe is not None and longest is not None and longest < spread.low(wipe) * (1 - 1e-9):
        detail = "the longest time to wiping is over before the first time to wipe"
        yield conflict("/product/longest_wipe", detail, "a longest time no shorter than wipe")
    if coldest is not None and hottest is not None and hottest <= coldest:
        yield conflict("/product/hottest", "boards may not be as warm as they must be", "more than coldest")


def wiped(coating: Coating) -> bool:
    """Say whether a family's excess is wiped off, and it says when."""
    return not coating.bare and {"dwell", "cure-clock"} <= coating.models.keys()


def check_ahead(r: Resolved, setting: Setting) -> None:
    """Raise `InputProblem` where edges are to be cut in further ahead than the band they border on."""
    if r.ahead <= MOST_AHEAD:
        return
    detail = f"cutting in belongs to the band it borders on, never more than {MOST_AHEAD} band ahead"
    edge = sum((run.edge_length or 0.0) + (run.first_edge or 0.0) + (run.last_edge or 0.0) for run in r.runs)
    if edge > 0:
        takes = edge / (r.crew.cutting * spread.value(r.paces["cut-in"]))
        detail += (
            f": {edge:.1f} m of edge take {takes / 60:.0f} min, and what was cut in first is due after "
            f"{setting.wipe.due / 60:.3g} and too late after {setting.wipe.by / 60:.3g} min"
        )
    raise InputProblem([conflict("/edges_ahead", detail, "0 or 1")])


def _floor(x: Inputs) -> Iterator[Fault]:
    given = [name for name in _SINGLE if getattr(x, name) is not None]
    if x.runs and (given or x.edge_length is not None):
        expected = "either runs, or one length, pitch, number"
        yield conflict("/runs", "runs and a single run are both given", expected)
    for name in () if x.runs else _SINGLE:
        if name not in given:
            detail = "a single run needs its length, its pitch and its number of courses"
            yield missing(f"/{name}", detail, "all three, or runs")


def _family(x: Inputs) -> Iterator[Fault]:
    if not wiped(x.coating):
        detail = f"nothing is wiped off {x.coating.title}, or nothing is known of when"
        yield conflict("/coating", detail, "a family whose excess is wiped off")


def _crew(x: Inputs) -> Iterator[Fault]:
    if x.gap_pace is not None and x.gap_faces != "coated":
        detail = "a pace of brushing into gaps says nothing where gaps are not coated"
        yield conflict("/gap_pace", detail, "gap_faces coated")


def _way(runs: Sequence[CadenceRun], at: str) -> Iterator[Fault]:
    names = [run.id for run in runs]
    count = sum(run.courses for run in runs)
    if count > MOST_COURSES:
        expected = f"at most {MOST_COURSES} in one plan; a day's work is less"
        yield conflict("/runs", f"the runs have {count} courses together", expected)
    for place, run in enumerate(runs):
        here = f"{at}/{place}" if at else ""
        if run.id in names[:place]:
            yield Fault(pointer=f"{here}/id", code="repeated", detail=f"two runs are named {run.id}")
        if run.exit_course is not None and run.exit_course > run.courses:
            yield conflict(f"{here}/exit_course", f"the run has {run.courses} courses", "one of its courses")
        for index, number in enumerate(run.break_after):
            if number >= run.courses:
                detail = f"the run has {run.courses} courses, and ends after the last anyway"
                yield conflict(f"{here}/break_after/{index}", detail, "the number of an earlier course")
        yield from _off(run, place, names, here)


def _off(run: CadenceRun, place: int, names: list[str], here: str) -> Iterator[Fault]:
    to = run.leads_to
    if to is None or to == EXIT or to in names[place + 1 :]:
        return
    expected = "exit, or a run that comes later and is dry yet"
    if to in names:
        detail = f"the way off {run.id} leads over {to}, which is wet by then: nobody crosses wet boards"
        yield conflict(f"{here}/leads_to", detail, expected)
    else:
        close = nearest(to, [*names, EXIT])
        detail = f"no run is named {to}"
        yield Fault(pointer=f"{here}/leads_to", code="unknown-id", detail=detail, expected=expected, nearest=close)
