"""Hours of a plan: means that add up, each with its scope, the parts it is for, and no piece of work twice."""

import pytest
from tests import plans
from tests.bundled import bundled
from tests.plans import EXAMPLES, planned

from latewood.uncertainty import spread
from latewood.wire import Options


def example(name):
    return planned(plans.example(name))


def test_means_of_parts_add_up_where_medians_do_not():
    """Mean of a lognormal: P50 * exp(s^2 / 2); its tails beyond the draws are cut."""
    one, other = spread.lognormal("a", 1.0, 2.0, 4.0), spread.lognormal("b", 1.0, 3.0, 9.0)
    assert spread.mean(one + other) == pytest.approx(spread.mean(one) + spread.mean(other), rel=1e-12)
    assert spread.value(one + other) != pytest.approx(spread.value(one) + spread.value(other), rel=1e-3)
    s = 0.693147 / 1.2815516
    assert spread.mean(one) == pytest.approx(2.0 * 2.718281828 ** (s * s / 2), rel=2e-3)
    assert spread.mean(3.5) == 3.5


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_line_has_its_scope_and_parts_and_means_add_up(name):
    plan = example(name)
    ids = [row["id"] for row in plan["hours"]]
    assert len(set(ids)) == len(ids)
    parts = {row["id"] for row in plan["components"]}
    for row in plan["hours"]:
        assert row["components"]
        assert set(row["components"]) <= parts
        assert row["scope"] == "person-hours" or row["people"] > 0
    # Labels tell rows apart, and a face is one of those of its components.
    told = [(row["label"], row.get("face_label"), *row["components"]) for row in plan["hours"]]
    assert len(set(told)) == len(told)
    faces = {row["id"]: {*row["faces"]} for row in plan["components"] if "faces" in row}
    assert all(row["face"] in faces[row["components"][0]] for row in plan["hours"] if "face" in row)
    added = sum(row["time"]["mean"] for row in plan["hours"] if row["scope"] == "person-hours")
    assert plan["totals"].get("person_hours", {"mean": 0})["mean"] == pytest.approx(added)


def test_sanding_stands_once_by_face():
    """The hours of a route and those of the sequence are one work: only the sequence has them."""
    plan = example("millrace")
    sequence = next(step["result"] for step in plan["steps"] if step["id"] == "abrasive-sequence")
    sanded = [row for row in plan["hours"] if row["label"] == "Sand"]
    assert {row["id"]: row["time"]["value"] for row in sanded} == {
        row["id"]: pytest.approx(row["time"]["value"]) for row in sequence["rows"] if "time" in row
    }
    assert not [row for row in plan["hours"] if row["step"].startswith("preparation")]


def test_time_of_a_crew_is_elapsed_and_a_wash_has_its_hours():
    plan = example("boathouse")
    (coat,) = [row for row in plan["hours"] if row["scope"] == "elapsed"]
    assert coat["people"] >= 1
    washed = [row for row in plan["hours"] if row["step"] == "preparation-waterside"]
    assert washed
    assert all(row["components"] == ["waterside"] for row in washed)


def test_steel_that_stains_is_replaced_before_the_wash_and_masking_comes_before_both():
    """Common practice, no source: water and an acid on plain steel stain the wood again."""
    assert [*dict.fromkeys(row["step"].split("-")[0] for row in example("boathouse")["hours"])][:4] == [
        "masking",
        "fasteners",
        "preparation",
        "abrasive",
    ]


def test_a_wash_stands_before_the_fasteners_where_no_steel_stains():
    plan = bundled().plan(
        {
            "schema": 1,
            "defaults": {
                "species": "western-redcedar",
                "treatment": "none",
                "treatment_evidence": "end-tag",
                "frame": {"material": "metal"},
                "old_coating": "none",
                "coating": "semi-transparent-oil-stain",
                "surface": "sanded",
                "signs": ["algae"],
                "structure": "sound",
                "boards": {"size": "5/4x6", "gap": "1/8 in", "direction": "0 deg", "joist_spacing": "16 in"},
            },
            "zones": [{"id": "main", "length": "12 ft", "width": "10 ft"}],
        },
        Options(),
    )
    steps = [row["step"].split("-")[0] for row in plan["hours"]]
    assert steps.index("masking") < steps.index("preparation") < steps.index("fasteners") < steps.index("abrasive")
