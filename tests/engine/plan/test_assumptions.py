"""What a job left out: one list, largest effect first, each value once with what it moves; and findings said once."""

import pytest
from tests import plans
from tests.plans import EXAMPLES, planned

from latewood.plan.assumptions import in_job


def example(name):
    return planned(plans.example(name))


@pytest.mark.parametrize("name", EXAMPLES)
def test_assumptions_stand_in_a_list_of_their_own_the_largest_first(name):
    plan = example(name)
    assert not [one["id"] for one in plan["findings"] if one["id"].startswith("default-")]
    ids = {row["id"] for row in plan["components"]}
    for row in plan["assumptions"]:
        assert row["components"]
        assert set(row["components"]) <= ids
        assert in_job(row.get("field", "/units")), row
        assert row["label"]
        assert row["assumed"]
        assert ("output" in row) or "effect" not in row
    for taken in (True, False):
        effects = [row.get("effect", 0.0) for row in plan["assumptions"] if row["route_taken"] is taken]
        assert effects == sorted(effects, reverse=True)


def test_a_value_that_moves_only_routes_not_taken_says_so():
    """two_levels sands its film off and washes nothing: how it would dry moves nothing that is planned."""
    aside = {row["id"] for row in example("two_levels")["assumptions"] if not row["route_taken"]}
    assert aside == {"default-wetted-depth", "default-temperature", "default-relative-humidity"}
    depths = [row for row in example("boathouse")["assumptions"] if row["id"] == "default-wetted-depth"]
    assert {row["components"][0]: row["route_taken"] for row in depths} == {"waterside": True, "sunny": False}


def test_two_values_assumed_for_one_field_are_two_lines():
    """3 mm and 1 mm, in the units of the job."""
    rows = [row for row in example("boathouse")["assumptions"] if row["id"] == "default-wetted-depth"]
    assert {(row["assumed"], tuple(row["components"])) for row in rows} == {
        ("1/8\N{NO-BREAK SPACE}in", ("sunny",)),
        ("1/32\N{NO-BREAK SPACE}in", ("waterside",)),
    }


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_said_twice_stands_once_with_all_its_places(name):
    found = [(one["id"], one["severity"], one["message"]) for one in example(name)["findings"]]
    assert len(set(found)) == len(found)


def test_a_finding_of_two_steps_names_both():
    said = next(one for one in example("two_levels")["findings"] if one["id"] == "old-coating-unknown")
    assert said["steps"] == ["preparation-upper", "preparation-lower"]
    assert said["places"] == ["upper", "lower"]


@pytest.mark.parametrize("pointer", ["/zones/0/gap_faces", "/fastening/share_proud", "/surroundings/below", "/crew"])
def test_a_pointer_into_the_job_is_known(pointer):
    assert in_job(pointer)


@pytest.mark.parametrize("pointer", ["", "/below", "/zones/0/nothing", "/sanding/nothing"])
def test_a_pointer_to_nothing_is_known(pointer):
    assert not in_job(pointer)
