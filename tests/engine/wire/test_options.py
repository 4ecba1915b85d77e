"""Options change how an answer looks, never a number in it."""

from __future__ import annotations

import pytest

from latewood.problems import InputProblem
from latewood.wire import Options


def test_options_are_taken_out_of_a_query():
    pairs = [("units", "us"), ("area", "1 m2"), ("working", "true"), ("decimal", ","), ("on_error", "text"), ("_", "7")]
    options, rest = Options.split(pairs)
    assert options == Options(units="us", working=True, decimal=",", on_error="text")
    assert rest == [("area", "1 m2")]


def test_the_defaults():
    options, _ = Options.split([])
    assert (options.system, options.working, options.decimal, options.on_error) == ("metric", False, ".", "status")


def test_a_query_overrules_the_jobs_units():
    assert Options(units="metric").or_units("us").system == "metric"
    assert Options().or_units("us").system == "us"
    assert Options().or_units(None).system == "metric"


@pytest.mark.parametrize(
    ("name", "value", "nearest"),
    [
        ("units", "imperial", None),
        ("units", "metrics", "metric"),
        ("units", "", None),
        ("working", "True", "true"),
        ("working", "1", None),
        ("decimal", ";", None),
        ("on_error", "txt", "text"),
    ],
)
def test_a_bad_value_is_refused(name, value, nearest):
    with pytest.raises(InputProblem) as problem:
        Options.split([(name, value)])
    (fault,) = problem.value.faults
    assert (fault.pointer, fault.code) == (f"/{name}", "unknown-choice")
    assert fault.expected.startswith("one of ")
    assert nearest is None or fault.nearest == nearest


def test_every_bad_option_at_once():
    with pytest.raises(InputProblem) as problem:
        Options.split([("units", "us"), ("units", "us"), ("working", "maybe"), ("_", "1"), ("_", "2")])
    assert [(fault.pointer, fault.code) for fault in problem.value.faults] == [
        ("/units", "repeated"),
        ("/working", "unknown-choice"),
    ]
