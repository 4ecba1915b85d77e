"""Stairs, guards and extras of a job: what they take from their zone, and what is said of them."""

import pytest
from tests.bundled import bundled

from latewood.problems import InputProblem
from latewood.wire import Options

ZONE = {"id": "main", "length": "16 ft", "width": "12 ft", "boards": {"size": "5/4x6", "joist_spacing": "16 in"}}
GUARD = {"id": "south", "length": "12 ft"}
WOOD = {"species": "southern-yellow-pine", "treatment": "none", "coating": "semi-transparent-oil-stain"}


@pytest.fixture(scope="module")
def plan():
    engine = bundled()
    return lambda **job: engine.plan({"schema": 1, **job}, Options())


def steps(plan):
    return {step["id"]: step for step in plan["steps"]}


def refused(plan, **job):
    with pytest.raises(InputProblem) as caught:
        plan(**job)
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_faces_of_every_part_are_coated(plan):
    """One coating: what coverage was given is the area of all faces, stairs and guards among them."""
    answer = plan(defaults=WOOD, zones=[ZONE], guards=[GUARD], stairs=[{"id": "steps", "rise": "31 in"}])
    found = steps(answer)
    total = found["area"]["result"]["face_total"]["value"]
    (zone,) = found["coverage-semi-transparent-oil-stain"]["result"]["zones"]
    assert zone["area"]["value"] == pytest.approx(total, rel=1e-8)


def test_a_guard_has_its_own_coating(plan):
    answer = plan(defaults=WOOD, zones=[ZONE], guards=[{**GUARD, "coating": "solid-colour-stain"}])
    found = steps(answer)
    guard = found["area"]["result"]["guards"][0]["area"]["value"]
    (zone,) = found["coverage-solid-colour-stain"]["result"]["zones"]
    assert zone["area"]["value"] == pytest.approx(guard)
    # A film is for guards: nobody walks on them.
    assert "film-on-floor" not in {finding.id for finding in answer["findings"]}


def test_a_composite_floor_with_timber_guards_gets_its_guards(plan):
    zone = {**ZONE, "material": "composite"}
    answer = plan(defaults=WOOD, zones=[zone], guards=[{**GUARD, "material": "wood"}])
    found = steps(answer)
    (bought,) = found["coverage-semi-transparent-oil-stain"]["result"]["zones"]
    assert bought["area"]["value"] == pytest.approx(found["area"]["result"]["guards"][0]["area"]["value"])
    said = [finding for finding in answer["findings"] if finding.id == "composite-left-out"]
    assert [finding.pointer for finding in said] == ["/zones/0/material"]


def test_a_composite_guard_is_left_out_by_name(plan):
    answer = plan(defaults=WOOD, zones=[ZONE], guards=[{**GUARD, "material": "composite"}])
    said = [finding for finding in answer["findings"] if finding.id == "composite-left-out"]
    assert [(finding.pointer, finding.message.split(" is ")[0]) for finding in said] == [
        ("/guards/0/material", "Railing south")
    ]
    found = steps(answer)
    (bought,) = found["coverage-semi-transparent-oil-stain"]["result"]["zones"]
    faces = found["area"]["result"]
    assert bought["area"]["value"] == pytest.approx(faces["face_total"]["value"] - faces["guards"][0]["area"]["value"])


def test_what_is_unknown_of_a_component_is_missing_there(plan):
    """A zone of known wood, a guard whose wood nobody named is the zone's; its own wood is asked for in the zone."""
    bare = {name: value for name, value in WOOD.items() if name != "species"}
    answer = plan(defaults=bare, zones=[{**ZONE, "species": "ipe"}], guards=[GUARD])
    assert steps(answer)["coverage-semi-transparent-oil-stain"]["status"] == "done"
    answer = plan(defaults=bare, zones=[ZONE], guards=[{**GUARD, "species": "ipe"}])
    found = steps(answer)["coverage-semi-transparent-oil-stain"]
    assert (found["status"], found["unlock"]) == ("partial", ["/zones/0/species"])


def test_an_old_guard_film_may_hold_lead_though_the_floor_is_bare(plan):
    job = {"defaults": {**WOOD, "old_coating": "none"}, "zones": [ZONE], "site": {"year_built": 1960}}
    guard = {**GUARD, "old_coating": "unknown"}
    assert "lead-paint" not in " ".join(caution.id for caution in plan(**job)["cautions"])
    cautions = plan(**job, guards=[guard])["cautions"]
    lead = [caution for caution in cautions if "lead" in caution.id]
    assert lead
    assert lead[0].places == ("main/guards/south",)


def test_a_year_rules_lead_out_where_the_place_is_known(plan):
    """The records hold the year with its source; a house of 1998 in the United States is after it."""
    job = {"defaults": {**WOOD, "old_coating": "unknown"}, "zones": [ZONE]}
    for year, said in ((1960, True), (1998, False)):
        cautions = plan(**job, site={"year_built": year, "jurisdiction": "US-WA"})["cautions"]
        assert any("lead" in caution.id for caution in cautions) is said, year


def test_faults_name_their_place_in_the_job(plan):
    wide = {"size": "21x145 mm", "gap": "150 mm"}
    bare = {key: value for key, value in ZONE.items() if key != "boards"}
    assert refused(plan, defaults={"boards": wide}, zones=[bare]) == {("/defaults/boards/gap", "conflict")}
    assert refused(plan, zones=[{**ZONE, "boards": wide}]) == {("/zones/0/boards/gap", "conflict")}
    assert refused(plan, zones=[ZONE], stairs=[{"id": "s", "rise": "31 in", "zone": "x"}]) == {
        ("/stairs/0/zone", "unknown-id")
    }
    assert refused(plan, zones=[ZONE], guards=[{**GUARD, "old_coating": "whitewash-of-1950"}]) == {
        ("/guards/0/old_coating", "unknown-id")
    }


def test_a_deck_known_by_its_floor_is_planned_and_what_is_missing_is_named(plan):
    answer = plan(defaults=WOOD, zones=[{"id": "main", "area": "400 ft2"}])
    assert steps(answer)["coverage-semi-transparent-oil-stain"]["status"] == "done"
    said = next(finding for finding in answer["findings"] if finding.id == "field-only")
    assert said.params["high"] / said.params["low"] == pytest.approx(0.5517 / 0.2639, rel=1e-3)
    assert answer["totals"]["area"]["value"] == pytest.approx(400 * 0.3048**2)


def test_defaults_of_boards_reach_every_zone(plan):
    zones = [{"id": "a", "length": "16 ft", "width": "12 ft"}, {"id": "b", "length": "16 ft", "width": "12 ft"}]
    area = steps(plan(defaults={**WOOD, "boards": ZONE["boards"]}, zones=zones))["area"]["result"]
    assert [zone["boards"] for zone in area["zones"]] == [26, 26]
    assert area["boards"] == 52
