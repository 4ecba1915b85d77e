"""Faults: where, what, and the remedy, in a line that a person can act on."""

from __future__ import annotations

import itertools

import pytest
from tests.bundled import bundled

from latewood import problems
from latewood.columns import header, shown
from latewood.columns.choices import Choices
from latewood.messages import Code, Count, Style, line, malformed, not_found, shipped
from latewood.problems import MAX_SUGGESTIONS, Fault, InputProblem, escape, nearest
from latewood.wire import flat, struct_reader


@pytest.mark.parametrize(
    ("token", "escaped"), [("a/b", "a~1b"), ("m~n", "m~0n"), ("~1", "~01"), ("", ""), (0, "0"), (" ", " ")]
)
def test_escape(token, escaped):
    """RFC 6901, sections 3 to 5: the tilde first, then the slash."""
    assert escape(token) == escaped


def test_a_line_says_place_fault_and_remedy():
    fault = Fault(
        pointer="/zones/0/area", code="unknown-unit", detail="'feets' is unknown", expected="an area", nearest="ft2"
    )
    assert fault.line() == "zones.0.area: 'feets' is unknown; expected an area; did you mean ft2?"
    english, spanish = (shipped().speaker(Style(lang)) for lang in ("en", "es"))
    assert line(fault, english) == fault.line()
    assert line(fault, spanish) == "zones.0.area: 'feets' is unknown; se espera an area; ¿quiso decir ft2?"


def test_a_fault_of_the_whole_input():
    nowhere = Fault(pointer="", code="wrong-type", detail="a list was given")
    assert nowhere.line() == line(nowhere, shipped().speaker(Style())) == "input: a list was given"


def test_a_problem_holds_every_fault():
    faults = [Fault(pointer=f"/{name}", code="missing", detail="this field is required") for name in "ab"]
    problem = InputProblem(iter(faults))
    assert problem.faults == tuple(faults)
    assert str(problem).splitlines() == ["a: this field is required", "b: this field is required"]


def test_not_found_names_the_nearest():
    fault = not_found("calculator", "coverge", ["area", "coverage"]).fault
    assert (fault.code, fault.nearest) == ("not-found", "coverage")
    assert fault.detail == "there is no calculator named 'coverge'"


def test_not_found_says_why():
    assert not_found("species", "oak", [], "its plugin was left out").fault.detail.endswith("its plugin was left out")


def test_long_names_do_not_come_back_whole():
    assert len(not_found("calculator", "x" * 100_000, ["area"]).fault.line()) < 200


def test_malformed_is_a_fault_of_the_body():
    fault = malformed("not-json", why=Code("Expecting value"), line=Count(1), column=Count(1)).fault
    assert (fault.pointer, fault.code, fault.expected) == ("", "not-json", "one JSON document")


@pytest.mark.parametrize(
    ("word", "found"),
    [
        ("coverge", "coverage"),
        ("coverage", "coverage"),
        ("COVERAGE", "coverage"),
        (" Coverage\n", "coverage"),
        ("zzz", None),
        ("", None),
        ("c" * 10**6, None),
    ],
)
def test_nearest(word, found):
    assert nearest(word, ["area", "coverage"]) == found


def test_a_name_that_was_sent_moves_no_cursor_of_the_line_that_names_it():
    fault = Fault(pointer="/zones/0/a\x1b[31m\n\u202eb", code="unknown-field", detail="there is no such field")
    assert fault.line() == "zones.0.a [31m  b: there is no such field"
    assert line(fault, shipped().speaker(Style())) == fault.line()


WORDS = ["".join(letters) for letters in itertools.product("bcdfg", repeat=4)]


@pytest.mark.parametrize(
    "ask",
    [
        lambda of: shown.columns(of, WORDS, "metric"),
        lambda of: Choices.read([(word, "1") for word in WORDS]),
        lambda of: header.read(["width", *(f"x{word}" for word in WORDS)], struct_reader(of.inputs), set(WORDS), []),
        lambda of: _tree([(word, "1") for word in WORDS], of),
        lambda of: _tree([("coatings", "1"), *(("coating", word) for word in WORDS)], of),
    ],
    ids=["outputs", "parameters", "columns", "inputs", "one input"],
)
def test_the_nearest_of_many_unknown_names_is_looked_for_a_few_times(monkeypatch, ask):
    looked = []
    monkeypatch.setattr(problems, "get_close_matches", lambda *given, **_: looked.append(given) or [])
    with pytest.raises(InputProblem) as refused:
        ask(bundled().calculators["coverage"])
    assert len(refused.value.faults) > len(looked)
    assert len(looked) <= MAX_SUGGESTIONS


def _tree(pairs, of):
    faults = []
    flat.tree(pairs, struct_reader(of.inputs), faults)
    raise InputProblem(faults)
