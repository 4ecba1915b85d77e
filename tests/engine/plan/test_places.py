"""One spelling of a place: every part of a plan stands in its components, and all else names it by that id."""

import json

import pytest
from tests.plans import EXAMPLES, example, planned

#: Invented: a floor with a flight of steps, and nothing said of the site.
DECK = {
    "schema": 1,
    "defaults": {"species": "southern-yellow-pine", "treatment": "copper", "coating": "semi-transparent-oil-stain"},
    "zones": [{"id": "main", "length": "16 ft", "width": "12 ft"}],
    "stairs": [{"id": "steps", "rise": "31 in"}],
}


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_place_of_a_plan_is_one_of_its_components(name):
    plan = planned(example(name))
    ids = [row["id"] for row in plan["components"]]
    assert len(set(ids)) == len(ids)
    for said in (*plan["findings"], *plan["cautions"]):
        assert said["places"], said["id"]
        assert set(said["places"]) <= set(ids), said["id"]
    assert all(set(step.get("places", ())) <= set(ids) for step in plan["steps"])
    assert {stop["id"] for stop in plan["stopped"]} <= set(ids)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_face_belongs_to_one_component(name):
    plan = planned(example(name))
    area = next(step["result"] for step in plan["steps"] if step["id"] == "area")
    listed = [face for row in plan["components"] for face in row["faces"]]
    assert sorted(listed) == sorted(face["id"] for face in area["faces"])


def test_a_flight_has_one_id_one_label_and_its_faces():
    rows = {row["id"]: row for row in planned(example("two_levels"))["components"]}
    assert rows["lower/stairs/between"] == {
        "id": "lower/stairs/between",
        "label": "steps between",
        "part": "stair",
        "zone": "lower",
        "faces": ["lower-stair-between"],
    }
    assert rows["upper/guards/north"]["label"] == "railing north"
    assert (rows["upper/frame"]["part"], rows["upper/frame"]["zone"]) == ("frame", "upper")
    assert "zone" not in rows["surroundings/walls"]


def test_a_title_is_the_label():
    job = json.loads(json.dumps(DECK))
    job["zones"][0]["title"] = "Garden side"
    job["stairs"][0]["title"] = "Steps to the lawn"
    labels = {row["id"]: row["label"] for row in planned(job)["components"]}
    zone, flight = job["zones"][0]["id"], job["stairs"][0]["id"]
    assert labels[zone] == "Garden side"
    assert labels[f"{zone}/stairs/{flight}"] == "Steps to the lawn"


def test_a_finding_is_about_what_it_names_or_points_at_and_else_about_its_step():
    found = {(said["id"], said.get("step")): said["places"] for said in planned(example("two_levels"))["findings"]}
    assert found["narrow-last-board", "area"] == ["lower"]
    assert found["seen-mildew", "preparation-lower"] == ["lower"]
    assert found["finish-below-not-known", "coverage-semi-transparent-oil-stain"] == ["upper/extras/skirt"]
    assert found["faces-left-weathered", "coverage-semi-transparent-oil-stain"] == ["upper/extras/skirt"]
    assert found["fastener-unknown", "fasteners"] == ["upper", "lower"]


def test_a_job_without_a_place_in_it_is_about_all_that_is_refinished():
    plan = planned(DECK)
    refinished = [row["id"] for row in plan["components"] if row["part"] not in ("frame", "wall")]
    said = next(one for one in plan["findings"] if one["id"] == "no-year-rules")
    assert said["places"] == refinished
