"""GO, WAIT, STOP, or not judged, by phase and part; and the questions that hold a part up.

Common practice, no source: what is stopped, open or not judged is no go.
"""

import copy

import pytest
from tests.engine.plan.test_steps_always_present import FAILED, holds
from tests.plans import EXAMPLES, example, planned

#: Invented: a mild dry week by the day.
DAY = {"warmest": "16 degC", "coldest": "11 degC", "relative_humidity": "50 %", "wet_spells": "none"}
DAYS = [{"date": f"2026-05-{day:02}", **DAY, "wind_speed": "2 m/s", "cloud": "100 %"} for day in range(10, 17)]
READY = {
    "schema": 1,
    "as_of": "2026-05-10",
    "site": {"timezone": "America/New_York", "jurisdiction": "US-NY", "year_built": 2015, "latitude": "42 deg"}
    | {"longitude": "-73 deg"},
    "defaults": {
        "species": "ipe",
        "treatment": "none",
        "old_coating": "none",
        "coating": "clear-penetrating-oil",
        "surface": "sanded",
        "frame": {"material": "metal"},
        "signs": ["grey"],
        "structure": "sound",
    },
    "zones": [
        {"id": "main", "length": "16 ft", "width": "12 ft", "boards": {"size": "5/4x6", "joist_spacing": "16 in"}}
    ],
    "moisture": {"now": "2026-05-10T07:00"},
    "readings": [
        {"zone": "main", "reading": f"{value} %", "taken": "2026-05-10T06:30", "pin_depth": "6 mm"}
        | {"wood_temperature": "16 degC"}
        for value in (10, 10.5, 11, 10, 10.5, 11, 10, 10)
    ],
    "weather": {"days": DAYS},
}


def words(plan):
    return {(row["phase"], id): row["verdict"] for row in plan["verdicts"] for id in row["components"]}


def reasons(plan, phase):
    return {reason["id"] for row in plan["verdicts"] if row["phase"] == phase for reason in row["reasons"]}


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_that_is_coated_has_a_verdict_for_each_phase(name):
    job = example(name)
    plan = planned(job)
    found = [(row["phase"], id) for row in plan["verdicts"] for id in row["components"]]
    assert len(set(found)) == len(found)
    ids = {row["id"] for row in plan["components"]}
    assert {id for _, id in found} <= ids
    for row in plan["verdicts"]:
        assert row["reasons"]
        assert all(set(reason["places"]) <= set(row["components"]) for reason in row["reasons"])
        if row["verdict"] == "not-judged":
            assert row["unlock"]
    steps = {step["id"]: step for step in plan["steps"]}
    for question in plan["questions"]:
        assert all(holds(pointer) for pointer in question["fields"])
        for block in question["blocks"]:
            assert block["components"]
            assert set(block["components"]) <= set(steps[block["step"]]["places"])


@pytest.mark.parametrize("name", EXAMPLES)
def test_silence_is_no_go(name):
    plan = planned(example(name))
    asked = {step["calculator"] for step in plan["steps"] if step["status"] != "not-planned"}
    for row in plan["verdicts"]:
        if row["verdict"] == "go":
            assert "condition" in asked
            assert row["phase"] == "prepare" or {"moisture-readiness", "cure-windows"} <= asked


def test_a_failed_frame_stops_what_stands_on_it_and_nothing_else():
    found = words(planned(FAILED))
    assert found["prepare", "bad"] == found["coat", "bad"] == "stop"
    assert found["prepare", "bad/guards/rail"] == "stop"
    assert found["prepare", "good"] == "go"
    assert found["coat", "good"] == "not-judged"


def test_a_dry_sound_deck_in_good_weather_is_a_go_and_says_how_old_its_readings_are():
    plan = planned(READY)
    assert words(plan) == {("prepare", "main"): "go", ("coat", "main"): "go"}, plan["verdicts"]
    old = copy.deepcopy(READY)
    old["weather"]["days"] = [{**day, "warmest": "3 degC", "coldest": "-4 degC"} for day in DAYS[:3]] + DAYS[3:]
    assert "verdict-reading-old" not in reasons(plan, "coat")
    assert "verdict-reading-old" in reasons(planned(old), "coat"), planned(old)["verdicts"]


def test_wood_that_is_too_wet_waits_until_it_is_read_again():
    wet = copy.deepcopy(READY)
    for row in wet["readings"]:
        row["reading"] = "24 %"
    plan = planned(wet)
    assert words(plan)["coat", "main"] == "wait"
    (row,) = [row for row in plan["verdicts"] if row["phase"] == "coat"]
    assert "not-dry" in {reason["id"] for reason in row["reasons"]}
    mixed = planned(example("mixed_boards"))
    (row,) = [row for row in mixed["verdicts"] if (row["phase"], row["verdict"]) == ("coat", "wait")]
    assert any(at.startswith("2026-09-07T08:00") for at in row["until"])


def test_dry_wood_with_too_few_readings_is_not_called_wet():
    few = copy.deepcopy(READY)
    few["readings"] = few["readings"][:1]
    plan = planned(few)
    assert words(plan)["coat", "main"] == "wait"
    (row,) = [row for row in plan["verdicts"] if row["phase"] == "coat"]
    assert {reason["id"] for reason in row["reasons"]} == {"read-again"}
    assert row["unlock"] == ["/readings"]
    (bought,) = [row for row in plan["purchases"] if row["kind"] == "finish"]
    assert {one["id"] for one in bought["conditions"]} == {"not-judged", "test-patch"}


def test_times_to_look_again_stand_in_their_order():
    plan = planned(example("new_pine"))
    (row,) = [row for row in plan["verdicts"] if row["phase"] == "coat"]
    assert row["until"] == ["2026-06-22T08:00:00-04:00", "2026-07-04T14:00:00-04:00"]
    waits = [(reason["id"], reason["until"]) for reason in row["reasons"] if "open" in reason["places"]]
    assert waits == [(id, ["2026-07-04T14:00:00-04:00"]) for id in ("drops-wait", "not-dry")]


def test_an_open_question_holds_up_its_part_only():
    job = copy.deepcopy(FAILED)
    job["zones"][0]["structure"] = "not-looked"
    del job["guards"]
    plan = planned(job)
    found = words(plan)
    assert (found["prepare", "bad"], found["prepare", "good"]) == ("wait", "go")
    (question,) = [row for row in plan["questions"] if row["topic"] == "structure"]
    assert question["fields"] == ["/zones/0/structure"]
    assert {id for block in question["blocks"] for id in block["components"]} == {"bad"}
    looked = next(step["result"] for step in plan["steps"] if step["id"] == "condition")
    assert {row["id"]: row["gate"] for row in looked["components"]}["bad/frame"] == "not-looked"


def test_a_no_to_every_hour_of_the_weather_waits():
    storm = copy.deepcopy(READY)
    storm["weather"]["days"] = [{**day, "warmest": "4 degC", "coldest": "-6 degC"} for day in DAYS]
    plan = planned(storm)
    assert words(plan)["coat", "main"] == "wait"
    assert "cure-windows-no" in reasons(plan, "coat")
