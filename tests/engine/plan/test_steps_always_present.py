"""Every step a plan may hold stands in it: done, or with why it is not and the fields that would unlock it."""

import pytest
from tests.engine.plan.buying import finishes
from tests.plans import EXAMPLES, example, planned

from latewood.plan.job import Extra, Guard, Job, Stair, Zone
from latewood.plan.kinds import ORDER

#: Steps of a zone, where there are several.
BY_ZONE = ("preparation", "wash")
TABLES = {"zones": Zone, "stairs": Stair, "guards": Guard, "extras": Extra}
#: Invented: two floors, the frame of the first of which failed.
FAILED = {
    "schema": 1,
    "site": {"jurisdiction": "US-NY", "year_built": 2015},
    "defaults": {
        "species": "ipe",
        "treatment": "none",
        "old_coating": "none",
        "coating": "clear-penetrating-oil",
        "surface": "sanded",
        "frame": {"material": "metal"},
        "signs": ["grey"],
    },
    "zones": [
        {"id": "bad", "length": "16 ft", "width": "12 ft", "structure": "failed"},
        {"id": "good", "length": "10 ft", "width": "8 ft", "structure": "sound"},
    ],
    "guards": [{"id": "rail", "zone": "bad", "length": "12 ft"}],
}


@pytest.fixture(scope="module")
def failed():
    return planned(FAILED)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_expected_step_is_there(name):
    job = example(name)
    plan = planned(job)
    assert {kind.calculator for kind in ORDER} == {step["calculator"] for step in plan["steps"]}
    zones = [zone["id"] for zone in job["zones"]]
    asked = {step["id"]: step for step in plan["steps"] if step["status"] != "not-planned"}
    for calculator in BY_ZONE:
        mine = {id for id, step in asked.items() if step["calculator"] == calculator}
        assert mine in (set(), {f"{calculator}-{zone}" for zone in zones} if len(zones) > 1 else {calculator})
    for step in plan["steps"]:
        assert ("result" in step) == (step["status"] in ("done", "partial")), step["id"]
        if step["status"] in ("not-planned", "blocked"):
            assert step["why"], step["id"]
            assert step["unlock"], step["id"]


def holds(pointer):
    """Say whether a pointer names a field a job may give."""
    struct, words = Job, pointer.split("/")[1:]
    for word in words:
        if struct is None:
            return True
        if word.isdigit():
            continue
        if word not in struct.__struct_fields__:
            return False
        struct = TABLES.get(word)
    return True


def test_a_stop_says_what_would_lift_it(failed):
    listed = {row["id"]: row for row in failed["stopped"]}
    assert set(listed) == {"bad", "bad/frame", "bad/guards/rail"}
    assert "/zones/0/structure" in listed["bad"]["lifted_by"]
    assert {"/guards/0/structure", "/zones/0/structure"} <= set(listed["bad/guards/rail"]["lifted_by"])
    assert all(holds(pointer) for row in listed.values() for pointer in row["lifted_by"])


def test_later_steps_carry_what_stops_them(failed):
    steps = {step["id"]: step for step in failed["steps"]}
    assert steps["preparation-bad"]["status"] == steps["wash-bad"]["status"] == "stopped"
    for id in ("preparation-bad", "wash-bad", "masking", "fasteners", "abrasive-sequence"):
        assert {"id": "bad", "finding": "stop-structure"} in steps[id]["stopped_by"], id
        assert "/zones/0/structure" in steps[id]["lifted_by"], id
    assert "stopped_by" not in steps["preparation-good"]
    (bought,) = finishes(failed)
    assert {stop["id"] for stop in bought["stopped_by"]} == {"bad", "bad/guards/rail"}
    assert bought["lifted_by"]


def test_no_step_with_a_result_is_about_a_stopped_part(failed):
    stopped = {row["id"] for row in failed["stopped"]}
    for step in failed["steps"]:
        if "result" in step and step["calculator"] not in ("area", "condition"):
            assert not stopped & set(step["places"]), step["id"]
