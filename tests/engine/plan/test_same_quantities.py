"""What two steps of a plan report of one thing agrees, over the examples and many made-up decks."""

from __future__ import annotations

import random
from typing import Any

import pytest
from tests import plans
from tests.engine.plan.same_quantities import SAME, SUMS, disagreements, steps_of
from tests.engine.plan.test_nothing_for_the_stopped import deck_of
from tests.generated import first
from tests.plans import EXAMPLES, example, planned_once

from latewood.problems import InputProblem

EACH, SEEDS = 20, 15


@pytest.fixture
def planned():
    return lambda job: plans.planned(job, units="metric")


def sanded_deck(dice: random.Random) -> dict[str, Any]:
    """Return a made-up deck with much said of how it is sanded."""
    job = deck_of(dice)
    zones = [zone["id"] for zone in job["zones"]]
    if dice.random() < 0.5:
        job["sanding"] = {"practice": dice.choice(["open-grain", "smooth-feel"])}
        if dice.random() < 0.5:
            job["sanding"]["years_bare"] = dice.randint(1, 20)
        if dice.random() < 0.3:
            job["sanding"]["last_grade"] = dice.choice(["p80", "p100"])
    if dice.random() < 0.3:
        machines = ["random-orbit-125", "random-orbit-150", "floor-drum", "geared-orbit-150"]
        job["machines"] = [{"part": "field", "machine": dice.choice(machines)}]
        if dice.random() < 0.5:
            job["machines"].append({"part": "perimeter", "speed_fraction": "50 %"})
    if dice.random() < 0.3:
        patch = {"grade": dice.choice(["p60", "p80", "p120"]), "passes": dice.randint(1, 3)}
        patch |= {"grey_left": dice.random() < 0.5}
        job["patches"] = [patch | ({"zone": dice.choice(zones)} if dice.random() < 0.5 else {})]
    if dice.random() < 0.2:
        job["stock"] = [{"grade": grade, "at_hand": 5, "per_box": 10} for grade in ("p40", "p60", "p80", "p100")]
    return job


@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_agree(planned, name):
    job = example(name)
    assert list(disagreements(planned(job), job)) == []


@pytest.mark.parametrize("seed", first(2, of=range(SEEDS)))
def test_decks_made_up_agree(seed):
    dice = random.Random(1000 + seed)
    compared = refused = 0
    for place in range(EACH):
        job = sanded_deck(dice)
        try:
            plan = planned_once(job, units="metric")
        except InputProblem:
            # Dice may say what does not hold together, such as an end tag of nothing.
            refused += 1
            continue
        assert list(disagreements(plan, job)) == [], (seed, place, job)
        compared += bool(steps_of(plan, job).get("abrasive-sequence")) and "preparation" in steps_of(plan, job)
    assert compared >= EACH // 5
    assert refused <= 1


def test_a_disagreement_is_seen(planned):
    """Every quantity of the table is reported by an example, and a change of any report is noticed."""
    seen: set[str] = set()
    for name in EXAMPLES:
        told = example(name)
        answer = planned(told)
        steps = steps_of(answer, told)
        seen |= {one.name for one in SAME if all(read(steps) for read in one.reports.values())}
        if {"preparation", "abrasive-sequence"} <= set(steps):
            job, plan = told, answer
    assert seen == {one.name for one in SAME}
    result = next(s["result"] for s in plan["steps"] if s["calculator"] == "preparation")
    route = next(row for row in result["routes"] if row["id"] == result["chosen"])
    route["sanding_time"]["high"] *= 1.01
    route["disc_count"] += 1
    found = " ".join(disagreements(plan, job))
    assert "work of sanding" in found
    assert "to have" in found
    rows = next(s for s in plan["steps"] if s["calculator"] == "abrasive-sequence")["result"]["rows"]
    rows.clear()
    assert any(one.name in " ".join(disagreements(plan, job)) for one in SUMS)
