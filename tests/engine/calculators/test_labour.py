"""Hours of a job: sums of ranges, a crew's common pace, and what is refused."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from latewood.problems import InputProblem
from latewood.uncertainty import spread

HOUR = 3600.0


def ids(ledger):
    return {finding.id for finding in ledger.findings}


def told(*times, **more):
    return {
        "tasks": [{"id": f"t{place}", "works_on": "floor", "time": time} for place, time in enumerate(times)],
        **more,
    }


def refused(run, *tasks, **fields):
    with pytest.raises(InputProblem) as caught:
        run("labour", tasks=list(tasks), **fields)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_a_slow_crew_moves_the_slow_end_and_not_the_mean(run):
    found = [
        run("labour", **told("2-6 h", "1-5 h", "3-4 h", "0.5-4 h", pace_correlation=f"{rho} %"))[0]
        for rho in (0, 10, 30, 60, 90, 100)
    ]
    ends = [spread.high(result.time) for result in found]
    assert ends == sorted(ends)
    assert ends[-1] == pytest.approx((6 + 5 + 4 + 4) * HOUR, rel=1e-3)
    assert [result.mean_time for result in found] == pytest.approx([found[0].mean_time] * len(found), rel=1e-12)
    assert [result.time_p80 for result in found] == sorted(result.time_p80 for result in found)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0.05, 20), st.floats(1.01, 5)), min_size=1, max_size=8),
    st.integers(0, 100),
)
def test_means_add_up_and_every_task_keeps_its_range(run, ranges, rho):
    times = [f"{low:.4f}-{low * factor:.4f} h" for low, factor in ranges]
    result, _ = run("labour", **told(*times, pace_correlation=f"{rho} %", workdays=2))
    assert sum(row.mean_time for row in result.tasks) == pytest.approx(result.mean_time)
    assert sum(row.share for row in result.tasks) == pytest.approx(1.0)
    for row, (low, factor) in zip(result.tasks, ranges, strict=False):
        assert spread.low(row.time) == pytest.approx(low * HOUR, rel=1e-2)
        assert spread.high(row.time) == pytest.approx(low * factor * HOUR, rel=1e-2)
    parts = [result.floor_time, result.stair_time, result.guard_time, result.site_time]
    assert sum(map(spread.mean, parts)) == pytest.approx(result.mean_time)
    # Of the sum neither the P10 nor the P90 is that of the parts: they are not slow all at once.
    assert spread.high(result.time) <= sum(spread.high(row.time) for row in result.tasks) * 1.001
    assert spread.low(result.time) >= sum(spread.low(row.time) for row in result.tasks) * 0.999


def test_what_leaves_most_unknown_stands_first(run):
    result, ledger = run("labour", **told("1-1.1 h", "2-20 h", "3-5 h", "0.1-0.11 h", workdays=0))
    assert result.largest_unknowns == ("t1", "t2", "t0")
    assert "largest-unknowns" in ids(ledger)
    result, ledger = run("labour", **told("1 h", "2 h"))
    assert result.largest_unknowns == ()
    assert spread.high(result.time) == 3 * HOUR


def test_cloths_are_seen_to_wherever_something_is_coated(run):
    """Cloths with oil catch fire by themselves: seeing to them takes time on every day of coating, never nothing."""
    coat = {"id": "lay", "works_on": "floor", "lays_coating": True, "rate": "lay-field", "area": "20 m2"}
    result, _ = run("labour", tasks=[coat], workdays=1)
    assert [row.id for row in result.tasks] == ["lay", "set-up", "cloths"]
    result, _ = run("labour", tasks=[{**coat, "lays_coating": False}], workdays=1)
    assert [row.id for row in result.tasks] == ["lay", "set-up"]


def test_travel_is_each_persons_each_day(run):
    result, _ = run("labour", **told("1 h", workdays=3, visits=1, people=2, travel_time="0.5 h"))
    travel = next(row for row in result.tasks if row.id == "travel")
    assert travel.mean_time == 4 * 2 * 0.5 * HOUR
    assert "no-travel" not in [clause.id for clause in result.not_included]


@pytest.mark.parametrize(("took", "finding"), [("9 h", "took-longer"), ("3 h", None), ("0.5 h", "took-less")])
def test_actual_hours_are_compared(run, took, finding):
    task = {"id": "scrub", "works_on": "guards", "time": "2-5 h", "actual_time": took}
    result, ledger = run("labour", tasks=[task, {"id": "rest", "works_on": "floor", "time": "1 h"}], workdays=1)
    assert ids(ledger) & {"took-longer", "took-less"} == ({finding} if finding else set())
    assert result.planned_time is not None
    assert spread.high(result.planned_time) == pytest.approx(5 * HOUR)
    row = result.tasks[0]
    assert row.over_mean == pytest.approx(result.actual_time / row.mean_time - 1)


def test_a_task_is_told_in_one_way(run):
    task = {"id": "a", "works_on": "floor"}
    assert refused(run, task) == {("/tasks/0", "conflict")}
    assert refused(run, {**task, "time": "1 h", "rate": "lay-field", "area": "3 m2"}) == {("/tasks/0", "conflict")}
    assert refused(run, {**task, "rate": "lay-field"}) == {("/tasks/0/area", "missing")}
    assert refused(run, {**task, "rate": "cut-in", "area": "3 m2", "length": "2 m"}) == {("/tasks/0/area", "conflict")}
    assert refused(run, {**task, "least_time": "1 h", "most_time": "2 h"}) == {("/tasks/0/likely_time", "missing")}
    falling = {**task, "least_time": "3 h", "likely_time": "2 h", "most_time": "4 h"}
    assert refused(run, falling) == {("/tasks/0/likely_time", "conflict")}
    twice = {**task, "time": "1 h"}
    assert refused(run, twice, twice) == {("/tasks/1/id", "repeated")}
    assert refused(run) == {("/tasks", "missing")}


def test_guesses_that_agree_are_one_number(run):
    task = {"id": "a", "works_on": "floor", "least_time": "2 h", "likely_time": "2 h", "most_time": "2 h"}
    result, _ = run("labour", tasks=[task], workdays=0)
    assert result.time == 2 * HOUR
    nothing = {**task, "least_time": "0 h", "likely_time": "0 h", "most_time": "9 h"}
    result, _ = run("labour", tasks=[nothing], workdays=0)
    assert 0 <= spread.low(result.time) < spread.high(result.time)
    zero, _ = run("labour", **told("0 h", workdays=0))
    assert (zero.mean_time, zero.time, zero.tasks[0].share) == (0, 0, 0)
