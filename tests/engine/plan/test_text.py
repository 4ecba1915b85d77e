"""A plan as text: every kind of value in words, nothing in the notation of a programming language."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from latewood.cli import main
from latewood.plan.text import text

JOBS = sorted((Path(__file__).parents[3] / "examples" / "jobs").glob("*.toml"))
#: Of `[`, `{`, `True` and `None` none belongs in a sentence; a basis has one bracket of its own.
NOTATION = ("[]", "['", "{", "True", "False", "None")


@pytest.fixture
def shown() -> Callable[[dict[str, Any]], list[str]]:
    """The lines of one step's result."""

    def lines(result: dict[str, Any]) -> list[str]:
        step = {"id": "one", "calculator": "area", "status": "done", "result": result}
        plan = {"job": {"zones": ["main"]}, "steps": [step], "totals": {"purchases": []}, "basis": [], "findings": []}
        found = text({**plan, "cautions": []}).splitlines()
        return found[found.index("one: done") + 1 : found.index("Rests on") - 1]

    return lines


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_example_shows_the_notation_of_a_program(capsys: pytest.CaptureFixture[str], path: Path) -> None:
    assert main(["plan", str(path)]) == 0
    said = capsys.readouterr().out
    assert said.startswith("Plan for ")
    for line in said.splitlines():
        assert not any(mark in line for mark in NOTATION), line


def test_values_are_words(shown: Callable[[dict[str, Any]], list[str]]) -> None:
    volume = {"value": 3.0, "low": 2.0, "high": 4.5, "unit": "L"}
    assert shown({"volume": volume}) == ["  volume: 3 L (between 2 and 4.5, eight times in ten)"]
    assert shown({"share": {"value": 12.345, "unit": "%"}}) == ["  share: 12.3 %"]
    assert shown({"volume": {"value": None, "unit": "L"}}) == ["  volume: not computed"]
    assert shown({"cost": {"amount": "54.00", "currency": "USD"}}) == ["  cost: 54.00 USD"]
    assert shown({"fast_enough": True}) == ["  fast enough: yes"]
    assert shown({"reasons": ["wet", "cold"]}) == ["  reasons: wet, cold"]
    assert shown({"reasons": []}) == []


def test_tables_of_a_list_have_a_line_each(shown: Callable[[dict[str, Any]], list[str]]) -> None:
    steps = [{"id": "a", "done": False, "why": ["x", "y"], "none": [], "parts": [{"id": "b", "count": 2}]}]
    assert shown({"steps": steps}) == ["  steps: a, done no, why x, y", "    parts: b, count 2"]


def test_what_has_its_own_words_is_shown_by_them(shown: Callable[[dict[str, Any]], list[str]]) -> None:
    entries = [{"id": "walk", "text": "Walk on it.", "hours": 3}, {"id": "coat-1", "text": "coat-1: Monday"}]
    assert shown({"hand_over": entries}) == ["  hand over: walk: Walk on it.", "  hand over: coat-1: Monday"]


def test_tables_within_an_item_are_indented(shown: Callable[[dict[str, Any]], list[str]]) -> None:
    items = [{"id": "a", "purchase": {"text": "2 × 1 L"}}]
    assert shown({"coats": items}) == ["  coats: a", "    purchase:", "      text: 2 × 1 L"]
