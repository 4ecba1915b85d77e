"""The decks worked by hand add up: hours follow from quantity and rate, and the sum from the hours."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

FOLDER = Path(__file__).parent
RATES = tomllib.loads((FOLDER / "rates.toml").read_text())
DECKS = {path.name.removesuffix("_by_hand.toml"): path for path in sorted(FOLDER.glob("*_by_hand.toml"))}


@pytest.mark.parametrize("deck", DECKS)
def test_the_working_holds(deck: str) -> None:
    work = tomllib.loads(DECKS[deck].read_text())["work"]
    for task in work["tasks"]:
        if "rates" in task:
            assert hours(task) == pytest.approx(task["hours"], abs=0.011), task["task"]
    sums = [sum(task["hours"][end] for task in work["tasks"]) for end in range(3)]
    assert sums == pytest.approx(work["sum_of_hours"], abs=0.001)
    assert (FOLDER / f"{deck}.toml").exists()


def hours(task: dict[str, Any]) -> list[float]:
    quantity = task["quantity"]
    rates = [RATES[name] for name in task["rates"]]
    return [
        sum(quantity * rate["time"][end] if "time" in rate else quantity / rate["pace"][end] for rate in rates)
        for end in range(3)
    ]
