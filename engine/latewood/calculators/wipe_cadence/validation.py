"""What is refused before anything is computed: a whole edge cut in first, a way that ends on wet boards."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.fields import EXIT, CadenceProduct, CadenceRun
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.calculators.wipe_cadence.resolved import Resolved
from latewood.messages import Count, Length, Name, Time, Titled, refusal
from latewood.problems import Fault, InputProblem, nearest
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
        yield refusal("longest-before-first-wipe", "/product/longest_wipe")
    if coldest is not None and hottest is not None and hottest <= coldest:
        yield refusal("hottest-below-coldest", "/product/hottest")


def wiped(coating: Coating) -> bool:
    """Say whether a family's excess is wiped off, and it says when."""
    return not coating.bare and {"dwell", "cure-clock"} <= coating.models.keys()


def check_ahead(r: Resolved, setting: Setting) -> None:
    """Raise `InputProblem` where edges are to be cut in further ahead than the band they border on."""
    if r.ahead <= MOST_AHEAD:
        return
    fault = refusal("edges-too-far-ahead", "/edges_ahead", most=Count(MOST_AHEAD))
    edge = sum((run.edge_length or 0.0) + (run.first_edge or 0.0) + (run.last_edge or 0.0) for run in r.runs)
    if edge > 0:
        fault = refusal(
            "edges-late-ahead",
            "/edges_ahead",
            most=Count(MOST_AHEAD),
            edge=Length(edge),
            takes=Time(edge / (r.crew.cutting * spread.value(r.paces["cut-in"]))),
            due=Time(setting.wipe.due),
            by=Time(setting.wipe.by),
        )
    raise InputProblem([fault])


def _floor(x: Inputs) -> Iterator[Fault]:
    given = [name for name in _SINGLE if getattr(x, name) is not None]
    if x.runs and (given or x.edge_length is not None):
        yield refusal("runs-and-single-run", "/runs")
    for name in () if x.runs else _SINGLE:
        if name not in given:
            yield refusal("single-run-incomplete", f"/{name}")


def _family(x: Inputs) -> Iterator[Fault]:
    if not wiped(x.coating):
        yield refusal("coating-not-wiped", "/coating", coating=Titled(x.coating))


def _crew(x: Inputs) -> Iterator[Fault]:
    if x.gap_pace is not None and x.gap_faces != "coated":
        yield refusal("gap-pace-without-gaps", "/gap_pace")


def _way(runs: Sequence[CadenceRun], at: str) -> Iterator[Fault]:
    names = [run.id for run in runs]
    count = sum(run.courses for run in runs)
    if count > MOST_COURSES:
        yield refusal("too-many-courses", "/runs", courses=Count(count), most=Count(MOST_COURSES))
    for place, run in enumerate(runs):
        here = f"{at}/{place}" if at else ""
        if run.id in names[:place]:
            yield refusal("run-named-twice", f"{here}/id", run=Name(run.id))
        if run.exit_course is not None and run.exit_course > run.courses:
            yield refusal("exit-beyond-courses", f"{here}/exit_course", courses=Count(run.courses))
        for index, number in enumerate(run.break_after):
            if number >= run.courses:
                yield refusal("break-after-last", f"{here}/break_after/{index}", courses=Count(run.courses))
        yield from _off(run, place, names, here)


def _off(run: CadenceRun, place: int, names: list[str], here: str) -> Iterator[Fault]:
    to = run.leads_to
    if to is None or to == EXIT or to in names[place + 1 :]:
        return
    if to in names:
        yield refusal("way-over-wet-run", f"{here}/leads_to", run=Name(run.id), to=Name(to))
    else:
        close = nearest(to, [*names, EXIT])
        yield refusal("no-such-run", f"{here}/leads_to", nearest=close, run=Name(to))
