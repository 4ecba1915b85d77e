"""The sum of tasks beside that of six decks worked by hand before any code for it was there."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from latewood.catalogue import Catalogue

DECKS = {
    path.name.removesuffix("_by_hand.toml"): tomllib.loads(path.read_text())
    for path in sorted(Path(__file__).parent.glob("*_by_hand.toml"))
}


@pytest.mark.parametrize("deck", DECKS)
def test_the_sum_is_that_of_the_hand(lw: Catalogue, deck: str) -> None:
    # Both are sampled: the engine by 2048 draws, the hand by a million.
    tasks, by_hand = [task(place, one) for place, one in enumerate(DECKS[deck]["work"]["tasks"])], DECKS[deck]["sum"]
    result = lw.calculate("labour", tasks=tasks, workdays=0)["result"]
    time = result["time"]
    found = {"p10": time["low"], "p50": time["value"], "p80": result["time_p80"]["value"], "p90": time["high"]}
    assert found == pytest.approx({name: by_hand[name] for name in found}, rel=0.02)
    assert result["mean_time"]["value"] == pytest.approx(by_hand["mean"], rel=2e-3)
    alone = lw.calculate("labour", tasks=tasks, workdays=0, pace_correlation="0 %")["result"]["time"]
    assert [alone["value"], alone["high"]] == pytest.approx(
        [by_hand["p50_independent"], by_hand["p90_independent"]], rel=0.02
    )


def task(place: int, one: dict[str, Any]) -> dict[str, Any]:
    low, value, high = one["hours"]
    works_on = {"job": "site"}.get(one["where"], one["where"])
    time = {"low": low, "value": value, "high": high, "unit": "h"}
    return {"id": f"task-{place}", "works_on": works_on, "time": time}
