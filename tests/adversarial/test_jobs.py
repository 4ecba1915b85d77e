"""The cases as tests: what is known not to be met yet is expected to fail, and leaves the list once it does not."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

import pytest
from tests.adversarial.__main__ import report
from tests.adversarial.answers import Answer, ask
from tests.adversarial.cases import Asked, BadCase, Case, every, pending, read
from tests.adversarial.effects import EFFECTS, wrong
from tests.bundled import bundled

CASES = read()
PENDING = pending()
ASKED = {asked.id: asked for asked in every(CASES)}


def marked(asked: Asked) -> Any:
    marks = [pytest.mark.xfail(strict=True, reason=PENDING[asked.id])] if asked.id in PENDING else []
    return pytest.param(asked, id=asked.id, marks=marks)


@pytest.mark.parametrize("asked", [marked(asked) for asked in ASKED.values()])
def test_the_answer_is_as_expected(asked: Asked) -> None:
    lacking = wrong(ask(asked.calculator, asked.tree), asked.expect)
    assert not lacking, "\n".join(lacking)


def test_there_are_enough_and_each_is_of_the_form() -> None:
    assert len(CASES) >= 75
    assert len({case.id for case in CASES}) == len(CASES)
    for case in CASES:
        case.check()


def test_what_is_listed_as_not_mended_is_there_to_be_mended() -> None:
    assert set(PENDING) <= set(ASKED)


def test_every_source_is_a_record_or_a_citation() -> None:
    records = bundled().shelf.records("source")
    for case in CASES:
        source = str(case.raw["source"])
        assert source in records or any(mark in source for mark in ". /"), source


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        ({"expect": {"no_purchase": []}}, "could not fail"),
        ({"expect": {}}, "expect is missing"),
        ({"expect": {"no_fun": ["main"]}}, "no such effect"),
        ({"twin": {"why": "none", "expect": {"purchase": ["main"]}}}, "the twin asks the same"),
        ({"twin": {"why": "none", "job": {"units": "metric"}, "expect": {"silent": ["x"]}}}, "stopping everything"),
        ({"expect": {"says": [{"any": ["x"]}]}}, "neither an effect nor"),
        ({"twin": {"why": "none", "job": {"units": "metric"}, "expect": {"silent": []}}}, "could not fail"),
        ({"twin": {"job": {"units": "metric"}, "expect": {"silent": ["x"]}}}, "no why"),
        ({"expect": {"no_purchase": ["maim"]}}, "no such part"),
        ({"source": ""}, "source is missing"),
        ({"kind": "hearsay"}, "no kind of evidence"),
        ({"hazzard": "x"}, "does not know"),
    ],
)
def test_a_case_that_could_not_fail_is_refused(change: Mapping[str, Any], fault: str) -> None:
    case = next(case for case in CASES if "calculator" not in case.raw)
    with pytest.raises(BadCase, match=fault):
        Case({**case.raw, **change}, case.deck).check()


#: For each effect, what is not so of a sound deck that is planned to the end.
UNTRUE: dict[str, Any] = {
    "refused": "/zones",
    "no_purchase": ["main/guards/south"],
    "no_sanding": ["main/stairs/steps"],
    "no_wash": ["main"],
    "no_wash_pressure": ["main"],
    "no_wash_agents": ["oxidiser"],
    "no_window": ["main"],
    "no_cadence": ["main"],
    "no_hours": ["main/guards/south"],
    "no_masking": ["brushing"],
    "nothing_planned": True,
    "wash_agents": ["hypochlorite"],
    "lead_paint": {"main": "suspected"},
    "arsenical": {"main": ["suspected", "yes"]},
    "gate": {"main": "stop-structure"},
    "not_gate": {"main": ["refinish", "leave"]},
    "not_reason": {"main": "."},
    "route": {"main": "hand-wash"},
    "not_route": {"main": ["sand", "wash-and-sand"]},
    "within": ["maybe"],
    "result": {"boards": 1},
    "reported": ["lead_test"],
    "says": [{"any": ["self-heating-waste"], "severity": "stop"}],
    "silent": [{"any": ["self-heating-waste"], "part": "main"}],
    "mentions": ["no such words"],
    "never_says": ["drying oil"],
}


#: What is not so of the same deck when its structure is in doubt.
UNTRUE_OF_A_STOP = ("purchase", "sanding", "washing", "window", "cadence")


@cache
def planned(structure: str) -> Answer:
    deck = next(case.deck for case in CASES if case.raw.get("deck") == "us-pine")
    defaults = {**deck["defaults"], "structure": structure}
    return ask(None, {**deck, "defaults": defaults, "choices": {"route": "wash-and-sand"}})


def test_every_effect_is_seen_to_fail() -> None:
    assert {*UNTRUE, *UNTRUE_OF_A_STOP} == set(EFFECTS)
    assert not planned("sound").faults
    assert not planned("doubt").faults


@pytest.mark.parametrize("name", UNTRUE)
def test_an_effect_that_is_not_so_is_said(name: str) -> None:
    assert wrong(planned("sound"), {name: UNTRUE[name]})


@pytest.mark.parametrize("name", UNTRUE_OF_A_STOP)
def test_an_effect_that_a_stop_prevents_is_said(name: str) -> None:
    assert wrong(planned("doubt"), {name: ["main"]})
    assert not wrong(planned("sound"), {name: ["main"]})


def test_a_refusal_nobody_expected_is_said() -> None:
    answer = ask(None, {"schema": 1, "zones": []})
    assert wrong(answer, {"silent": ["lead-paint"]})
    assert not wrong(answer, {"refused": "/zones"})


def good() -> Case:
    return next(case for case in CASES if case.id not in PENDING and f"{case.id}~twin" not in PENDING)


def test_a_planted_expectation_turns_the_run_red(capsys: pytest.CaptureFixture[str]) -> None:
    case = good()
    assert report([case], {}) == 0
    planted = Case({**case.raw, "expect": {**case.raw["expect"], "mentions": ["no such words"]}}, case.deck)
    assert report([planted], {}) == 1
    assert "nowhere 'no such words'" in capsys.readouterr().out


def test_what_is_listed_turns_the_run_red_once_it_is_mended(capsys: pytest.CaptureFixture[str]) -> None:
    case = good()
    assert report([case], {case.id: "said to fail"}) == 1
    assert "must leave" in capsys.readouterr().out
