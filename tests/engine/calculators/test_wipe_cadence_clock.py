"""The clock of wipe-cadence beside another: people with lists of tasks, second by second.

The calculator reckons when each course is laid and wiped by recursion over courses. Here nobody knows the future: every
second each person looks whether the next task on the list may be begun. Times are whole seconds, so that both agree.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.calculators.wipe_cadence.compute.choose import Setting, choose
from latewood.calculators.wipe_cadence.compute.crew_simulation import WorkRates, simulate, tasks
from latewood.calculators.wipe_cadence.compute.dwell import Window
from latewood.calculators.wipe_cadence.compute.run_segments import Course, RunSegment, slices, split
from latewood.calculators.wipe_cadence.resolved import Crew


@dataclass
class Person:
    """Somebody with a list of tasks, each a word, a course and a time it takes."""

    todo: list[tuple[str, int, int]]
    busy_until: int = 0
    doing: tuple[str, int] | None = None


@dataclass
class Site:
    """What has been begun and finished, by task and course, in s."""

    begun: dict[tuple[str, int], int] = field(default_factory=dict)
    done: dict[tuple[str, int], int] = field(default_factory=dict)


@dataclass(frozen=True)
class Work:
    """What each task takes on each course (s), and the rules."""

    sizes: tuple[int, ...]
    wet: int
    cut: tuple[int, ...]
    lay: int
    again: tuple[int, ...]
    wipe: int
    turn: int
    due: int
    by: int
    second: tuple[int, int] | None
    wipers: bool
    cutters: bool
    ahead: int

    @property
    def bands(self) -> list[range]:
        return slices(self.sizes)


def lists(work: Work) -> list[Person]:
    """Return the people with what they have to do, in order."""
    appliers, wipers, cutters = Person([]), Person([]), Person([])
    uncut = [(band, [("cut", course, work.cut[course]) for course in band]) for band in work.bands]
    if work.cutters:
        cutters.todo = [task for _, tasks in uncut for task in tasks]
        uncut = []
    for place, band in enumerate(work.bands):
        appliers.todo.append(("band", band[0], 0))
        while uncut and uncut[0][0][0] in {b[0] for b in work.bands[: place + work.ahead + 1]}:
            appliers.todo += uncut.pop(0)[1]
        appliers.todo += [("lay", course, work.lay) for course in band]
        if work.second is not None:
            appliers.todo.append(("turn", band[0], work.turn))
            appliers.todo += [("again", course, work.again[course]) for course in band]
        if work.wipers:
            wipers.todo += [("wipe", course, work.wipe) for course in band]
        else:
            appliers.todo.append(("turn", band[0], work.turn))
            appliers.todo += [("wipe", course, work.wipe) for course in band]
            appliers.todo.append(("turn", band[0], work.turn))
    return [appliers, wipers, cutters]


def may(task: str, course: int, now: int, work: Work, site: Site) -> bool:
    """Say whether a task may be begun now."""
    dry = course < work.wet or ("wipe", course - work.wet) in site.done
    coat = "lay" if work.second is None else "again"
    match task:
        case "band":
            own = next(band for band in work.bands if course in band)
            if work.second is None and not any(work.cut[one] for one in own):
                return dry
            return own[-1] < work.wet or ("wipe", own[-1] - work.wet) in site.done
        case "cut":
            place = next(index for index, band in enumerate(work.bands) if course in band)
            if not work.cutters or (work.ahead and not place):
                return True
            # By a band ahead: when the field of the band before is begun, else when the appliers come to this one.
            if work.ahead:
                return ("lay", work.bands[place - 1][0]) in site.begun
            return ("band", work.bands[place][0]) in site.done
        case "lay":
            return dry and ("cut", course) in site.done
        case "again":
            assert work.second is not None
            return now >= first(course, "lay", site) + work.second[0]
        case "wipe":
            if (coat, course) not in site.done:
                return False
            own = next(band for band in work.bands if course in band)
            left = range(course, own[-1] + 1)
            oldest = min(first(one, coat, site) for one in left if (coat, one) in site.begun or edged(one, coat, site))
            return now >= min(oldest + work.due, first(course, coat, site) + work.by - work.wipe)
    return True


def edged(course: int, coat: str, site: Site) -> bool:
    """Say whether an edge of this course is cut in already: its wood is wet, though its field is not laid."""
    begun, done = site.begun.get(("cut", course)), site.done.get(("cut", course))
    return coat == "lay" and begun is not None and begun != done


def first(course: int, coat: str, site: Site) -> int:
    """Return the first stroke of a coat: of the first coat that at an edge, where there is one."""
    if coat == "again" or site.done.get(("cut", course)) == site.begun["cut", course]:
        return site.begun[coat, course]
    return site.begun["cut", course]


def by_the_second(work: Work) -> Site:
    """Let everybody work until all is done."""
    people, site = lists(work), Site()
    for now in range(200_000):
        moved = True
        while moved:
            moved = False
            for person in people:
                if person.doing is not None and now >= person.busy_until:
                    site.done[person.doing] = now
                    person.doing, moved = None, True
                if person.doing is None and person.todo and may(*person.todo[0][:2], now, work, site):
                    task, course, takes = person.todo.pop(0)
                    site.begun[task, course] = now
                    person.doing, person.busy_until, moved = (task, course), now + takes, True
        if not any(person.todo or person.doing for person in people):
            return site
    raise AssertionError("they never finish")


@st.composite
def works(draw):
    count = draw(st.integers(1, 14))
    wet = draw(st.integers(1, 8))
    sizes = split(count, draw(st.integers(1, wet)), frozenset(draw(st.sets(st.integers(1, 13), max_size=3))))
    due = draw(st.integers(30, 900))
    cut = tuple(draw(st.lists(st.integers(0, 40), min_size=count, max_size=count)))
    lay = draw(st.integers(1, 150))
    seconds = st.none() | st.tuples(st.integers(0, 600), st.integers(600, 900))
    return Work(
        sizes=sizes,
        wet=draw(st.integers(max(sizes), 14)),
        cut=cut,
        lay=lay,
        again=tuple(lay + edge for edge in cut),
        wipe=draw(st.integers(1, 150)),
        turn=draw(st.integers(0, 60)),
        due=due,
        by=due + draw(st.integers(0, 300)),
        second=draw(seconds),
        wipers=draw(st.booleans()),
        cutters=draw(st.booleans()),
        ahead=draw(st.integers(0, 1)),
    )


def segment_of(work: Work) -> tuple[RunSegment, WorkRates]:
    """Return courses and paces of one person that take as many seconds."""
    courses = tuple(Course(place + 1, 1.0, 1.0, float(edge)) for place, edge in enumerate(work.cut))
    return RunSegment("main", courses, frozenset()), WorkRates(1 / work.lay, 1 / work.wipe, 1.0, None, float(work.turn))


@settings(max_examples=300, deadline=None)
@given(works())
def test_both_clocks_agree(work):
    segment, rates = segment_of(work)
    crew = Crew(1, int(work.wipers), int(work.cutters))
    second = None if work.second is None else Window(*map(float, work.second))
    window = Window(float(work.due), float(work.by))
    way = tasks(segment, crew, rates), work.sizes, work.wet, crew, rates.turn, window, second, work.ahead
    mine = simulate(*way, to_end=True)
    site = by_the_second(work)
    coat = "lay" if work.second is None else "again"
    assert mine is not None
    for place, timing in enumerate(mine.timings):
        stroke = first(place, coat, site)
        theirs = (site.done[coat, place], site.begun["wipe", place], site.done["wipe", place], stroke, stroke + work.by)
        assert (timing.laid, timing.wiping, timing.wiped, timing.first, timing.by) == pytest.approx(theirs, abs=1e-6)
    late = any(site.done["wipe", place] > first(place, coat, site) + work.by for place in range(len(work.cut)))
    if work.second is not None:
        late |= any(
            site.done["again", place] > first(place, "lay", site) + work.second[1] for place in range(len(work.cut))
        )
    assert (simulate(*way) is None) == late


PACES = st.floats(2, 60)


@st.composite
def crews(draw):
    lay, wipe, cut = (draw(PACES) for _ in range(3))
    slower = draw(st.floats(0.3, 1))
    typical = WorkRates(lay / 3600, wipe / 3600, cut / 3600, None, draw(st.sampled_from([0.0, 60.0])))
    slow = replace(typical, lay=typical.lay * slower, wipe=typical.wipe * slower, cut=typical.cut * slower)
    due = draw(st.floats(120, 1200))
    wet = draw(st.booleans())
    setting = Setting(
        crew=Crew(draw(st.integers(1, 3)), draw(st.integers(0, 3)), draw(st.integers(0, 1))),
        typical=typical,
        slow=slow,
        wipe=Window(due, due * draw(st.floats(1.05, 2))),
        second=Window(1200.0, 3600.0) if wet else None,
        arm_reach=draw(st.sampled_from([0.5, 0.9, 2.4])),
        ahead=0,
        asked=None,
    )
    edge = draw(st.sampled_from([0.0, 0.3]))
    length = draw(st.floats(1, 7))
    count = draw(st.integers(1, 30))
    courses = tuple(Course(number, length, 0.14, edge) for number in range(1, count + 1))
    return RunSegment("main", courses, frozenset(draw(st.sets(st.integers(1, 29), max_size=3)))), setting


@settings(max_examples=200, deadline=None)
@given(crews())
def test_one_more_with_a_cloth_is_never_later(made):
    segment, setting = made
    fewer = replace(setting, crew=replace(setting.crew, wipers=max(setting.crew.wipers, 1)))
    more = replace(fewer, crew=replace(fewer.crew, wipers=fewer.crew.wipers + 1))
    now, then = choose(segment, fewer), choose(segment, more)
    order = ("yes", "at-risk", "no")
    assert order.index(then.verdict) <= order.index(now.verdict)
    if then.verdict == now.verdict and now.simulated is not None and then.simulated is not None:
        assert then.simulated.duration <= now.simulated.duration + 1e-3


@settings(max_examples=200, deadline=None)
@given(crews(), st.floats(0.2, 1))
def test_a_shorter_dwell_never_lets_more_courses_in(made, shorter):
    segment, setting = made
    wipe, second = setting.wipe, setting.second
    hot = replace(
        setting,
        wipe=Window(wipe.due * shorter, wipe.by * shorter),
        second=None if second is None else Window(second.due * shorter, second.by * shorter),
    )
    now, then = choose(segment, setting), choose(segment, hot)
    assert then.most <= now.most
    assert then.typical_most <= now.typical_most


@settings(max_examples=200, deadline=None)
@given(crews())
def test_whatever_is_planned_is_in_time_and_within_reach(made):
    segment, setting = made
    chosen = choose(segment, setting)
    assert (chosen.simulated is None) == (chosen.verdict == "no")
    if chosen.simulated is None:
        return
    assert sum(chosen.simulated.sizes) == len(segment.courses)
    assert sum(chosen.bands) == len(segment.courses)
    assert max(*chosen.bands, *chosen.simulated.sizes) <= (chosen.most or chosen.typical_most)
    assert max(chosen.wet, *chosen.bands) * 0.14 <= setting.arm_reach + 1e-9
    assert all(timing.slack >= -1e-6 for timing in chosen.simulated.timings)
    if chosen.verdict == "yes":
        way = tasks(segment, setting.crew, setting.slow), chosen.simulated.sizes, chosen.wet
        assert simulate(*way, setting.crew, setting.slow.turn, setting.wipe, setting.second, 0) is not None


@given(st.integers(1, 60), st.integers(1, 20), st.frozensets(st.integers(1, 59), max_size=5))
def test_courses_are_split_into_as_few_bands_as_will_do(count, most, breaks):
    sizes = split(count, most, breaks)
    assert sum(sizes) == count
    assert max(sizes) <= most
    assert min(sizes) >= 1
    assert len(sizes) == -(-count // most)
    if not breaks:
        assert max(sizes) - min(sizes) <= 1
