"""No coat starts before the wood is prepared and dry, and what a start rests on is said before it."""

from __future__ import annotations

import copy
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from tests.bundled import bundled
from tests.engine.plan.buying import finishes

from latewood.job_files import read_file, with_weather
from latewood.wire import Options

JOBS = Path(__file__).parents[3] / "examples" / "jobs"
WINDOWS = "cure-windows-clear-penetrating-oil"


@pytest.fixture(scope="module")
def lw() -> Any:
    return bundled()


@pytest.fixture
def job() -> dict[str, Any]:
    """A floor of 24 m² in a fortnight of May that is given by the hour from midnight on the 4th."""
    return copy.deepcopy(with_weather(read_file(JOBS / "dockyard.toml"), JOBS))  # type: ignore[return-value]


def steps(plan: Any) -> dict[str, Any]:
    return {step["id"]: step for step in plan["steps"]}


def starts(step: Any) -> list[datetime]:
    return [datetime.fromisoformat(window["starts"]) for window in step["result"]["windows"]]


def test_no_window_before_a_washed_floor_is_dry(lw, job):
    job["defaults"] |= {"signs": ["grey"], "structure": "sound", "surface": "sanded"}
    job["site"]["year_built"] = 2015
    job["choices"] = {"route": "wash-and-sand"}
    rain = job["weather"]["columns"]["rain"]
    rain["values"] = [0.0] * len(rain["values"])
    plan = lw.plan(job, Options())
    found = steps(plan)
    (dry,) = found["moisture-after-wash"]["result"]["zones"]
    assert dry["verdict"] == "not-ready"
    first = datetime.fromisoformat("2026-05-04T00:00:00-04:00")
    windows = found[WINDOWS]
    assert windows["status"] == "done", windows["why"]
    for start in starts(windows):
        assert (start - first).total_seconds() / 3600 >= dry["time_to_ready"]["value"]
    assert windows["result"]["verdict"] in ("conditional", "at-risk")
    assert windows["result"]["first"] == ["read the moisture of pontoon"]
    assert "moisture-after-wash" in windows["rests_on"]
    assert "first read the moisture of pontoon. Then start" in plan["totals"]["hand_over"][0]["text"]


@pytest.mark.parametrize(("signs", "words"), [(["rot"], "rot"), (["grey", "split"], "split boards")])
def test_no_coat_before_damaged_boards_are_replaced(lw, job, signs, words):
    """The new wood has a moisture of its own. Common practice, no source."""
    job["defaults"] |= {"signs": ["grey"], "structure": "sound"}
    assert f"({words})" not in str(steps(lw.plan(job, Options()))[WINDOWS]["result"].get("first", []))
    job["defaults"] |= {"signs": signs, "affected": "10 %"}
    windows = steps(lw.plan(job, Options()))[WINDOWS]
    assert windows["result"]["verdict"] == "conditional"
    assert windows["result"]["first"][0] == f"repair pontoon ({words}), and read the moisture of the new wood"
    assert any(step.startswith("preparation") for step in windows["rests_on"])


def test_no_window_before_the_sanding_is_done(lw, job):
    job["zones"] = [{"id": "pontoon", "length": "16 m", "width": "6 m"}]
    job["defaults"] |= {"signs": ["grey"], "structure": "sound"}
    job["choices"] = {"route": "sand"}
    job["crew"] = {"appliers": 1}
    found = steps(lw.plan(job, Options()))
    route = next(row for row in found["preparation"]["result"]["routes"] if row["id"] == "sand")
    assert route["ready_morning"] > 2
    windows = found[WINDOWS]
    assert min(starts(windows)).day >= 4 + route["ready_morning"] - 1
    assert "is prepared by then" in windows["why"]


def test_wood_that_beads_waits_longer_than_the_forecast_and_its_purchase_rests_on_it(lw, job):
    """Two to three weeks: Forest Products Laboratory, Finishes for Exterior Wood Decks. The forecast is a fortnight."""
    job["defaults"] |= {"species": "southern-yellow-pine", "treatment": "copper", "treatment_evidence": "end-tag"}
    job["site"]["year_built"] = 2026
    job["moisture"] = {"new_wood_age": "14 d"}
    job["drop_tests"] = [{"zone": "pontoon", "beads": True}]
    plan = lw.plan(job, Options())
    found = steps(plan)
    assert found["moisture-readiness"]["result"]["verdict"] == "not-ready"
    assert found[WINDOWS]["status"] == "skipped"
    assert "when the weather given has ended" in found[WINDOWS]["why"]
    assert "hand_over" not in plan["totals"]
    (bought,) = finishes(plan)
    assert bought["rests_on"] == ["moisture-readiness"]
    (finish,) = (row for row in plan["purchases"] if row["kind"] == "finish")
    assert "beads" in {one["id"] for one in finish["conditions"]}


def test_a_verdict_rests_on_a_reading_nobody_took(lw, job):
    job["moisture"] = {"new_wood_age": "900 d"}
    found = steps(lw.plan(job, Options()))
    assert found["moisture-readiness"]["result"]["verdict"] != "ready"
    assert found[WINDOWS]["result"]["text"].startswith("Conditional: first read the moisture of pontoon. Then start")


def test_a_dry_floor_starts_as_before(lw, job):
    result = steps(lw.plan(job, Options()))[WINDOWS]
    assert result["result"]["verdict"] == "yes"
    assert result["result"]["first"] == []
    assert "rests_on" not in result


@pytest.mark.parametrize("sign", ["missing", "wobbly", "loose-fixing"])
def test_a_start_beside_an_open_edge_rests_on_a_guard(lw, job, sign):
    """OSHA 29 CFR 1926.501(b)(1): an edge 6 ft or more above a lower level is guarded before people work at it."""
    job["defaults"] |= {"signs": [], "structure": "sound"}
    job["guards"] = [{"id": "south", "length": "6 m", "height": "1 m", "signs": [sign]}]
    found = steps(lw.plan(job, Options()))
    said = found[WINDOWS]["result"]["text"]
    assert said.startswith("Conditional: first repair railing south, or put up a temporary guardrail there.")
    assert found[WINDOWS]["rests_on"][-1] == "pontoon/guards/south"


def test_without_a_window_nothing_is_laid_or_wiped(lw, job):
    """Above the hottest the family bears, no hour is a start: bands and wiping times would be made up."""
    job["crew"] = {"appliers": 2, "wipers": 1}
    job["defaults"]["boards"] = {"size": "5/4x6"}
    assert steps(lw.plan(job, Options()))["wipe-cadence-clear-penetrating-oil"]["status"] == "done"
    columns = job["weather"]["columns"]
    columns["air_temperature"]["values"] = [42.0] * len(columns["air_temperature"]["values"])
    columns["air_temperature"]["unit"] = "degC"
    found = steps(lw.plan(job, Options()))
    assert found[WINDOWS]["result"]["verdict"] == "no"
    cadence = found["wipe-cadence-clear-penetrating-oil"]
    assert cadence["status"] == "skipped"
    assert "result" not in cadence
    assert "the weather leaves no window for a coat" in cadence["why"]


def test_silence_about_a_new_softwood_waits_as_copper_does(lw):
    """Two weeks at least where water beads: Forest Products Laboratory, Finishes for Exterior Wood Decks."""
    asked = {"species": "southern-yellow-pine", "new_wood_age": "14 d", "drop_tests": [{"zone": "a", "beads": True}]}
    for treatment, least in ((None, 336.0), ("copper", 336.0), ("none", None)):
        zone = {"id": "a"} | ({} if treatment is None else {"treatment": treatment})
        row = lw.answer("moisture-readiness", asked | {"zones": [zone]}, Options())["result"]["zones"][0]
        assert (row["read_again_after"]["value"] or None) == least
