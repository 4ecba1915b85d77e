"""What a job may say of preservatives, frames and lead tests, who inherits it, and what is refused."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD

from latewood.catalogue import Catalogue
from latewood.plan.effective_zones import effective_components, effective_zones
from latewood.plan.run import read_job
from latewood.problems import InputProblem
from latewood.provenance import Finding
from latewood.report import report, text
from latewood.wire import Options

ZONE = {"id": "main", "length": "4 m", "width": "3 m"}
TAGGED = {"species": "southern-yellow-pine", "treatment": "copper", "treatment_evidence": "end-tag"}
TESTED = {
    "old_coating": "paint",
    "lead_test": "none-found",
    "lead_test_method": "laboratory",
    "lead_test_date": "2026-04-20",
}


def fields(lw: Catalogue, **job: Any) -> tuple[Any, Any]:
    """Return what holds in the first zone and of the first guard."""
    tree = {"schema": 1, "zones": [ZONE], "guards": [{"id": "south", "length": "3 m"}], **job}
    read = read_job(tree, lw.shelf, Options())
    zones = effective_zones(read)
    return zones[0].fields, effective_components(read, zones)["guards", "south"].fields


def refused(lw: Catalogue, **job: Any) -> set[tuple[str, str]]:
    with pytest.raises(InputProblem) as caught:
        lw.plan({"schema": 1, "zones": [ZONE], **job}, Options())
    return {(fault.pointer, fault.code) for fault in caught.value.faults}


def test_zone_and_guard_take_proof_and_test_from_the_defaults(lw: Catalogue) -> None:
    for one in fields(lw, defaults={**TAGGED, **TESTED}):
        assert (one.treatment, one.treatment_evidence) == ("copper", "end-tag")
        assert (one.lead_test, one.lead_test_method, str(one.lead_test_date)) == (
            "none-found",
            "laboratory",
            "2026-04-20",
        )


@pytest.mark.parametrize("own", [{"treatment": "copper"}, {"species": "douglas-fir"}])
def test_an_end_tag_is_not_inherited_by_other_wood(lw: Catalogue, own: dict[str, str]) -> None:
    """An end tag speaks of the boards it is stapled to. Common practice, no source."""
    zone, guard = fields(lw, defaults=TAGGED, guards=[{"id": "south", "length": "3 m", **own}])
    assert (zone.treatment_evidence, guard.treatment_evidence) == ("end-tag", None)
    zone, guard = fields(lw, defaults=TAGGED, zones=[{**ZONE, **own}])
    assert (zone.treatment_evidence, guard.treatment_evidence) == (None, None)


TABLES = {
    "stairs": {"id": "steps", "zone": "main", "rise": "24 in", "width": "48 in"},
    "guards": {"id": "south", "zone": "main", "length": "3 m"},
    "extras": {"id": "seat", "zone": "main", "part": "bench", "area": "1 m2"},
}


@pytest.mark.parametrize("table", TABLES)
def test_proof_of_a_floor_clears_its_boards_only(lw: Catalogue, table: str) -> None:
    """A tag speaks of the boards it is stapled to, a test of what was sampled. Common practice, no source."""
    site = {"year_built": 1960, "jurisdiction": "US-NY"}
    pine = {"species": "southern-yellow-pine", "treatment": "copper", "old_coating": "paint", "structure": "sound"}
    proof = {"treatment_evidence": "end-tag", **NO_LEAD}

    def hazards(zone: dict[str, Any], defaults: dict[str, Any], own: dict[str, Any]) -> list[tuple[str, str]]:
        job = {"schema": 1, "site": site, "defaults": {**pine, **defaults}, "zones": [{**ZONE, **zone}]}
        job[table] = [{**TABLES[table], **own}]
        plan = lw.plan(job, Options())
        (step,) = [step for step in plan["steps"] if step["id"] == "condition"]
        rows = {row["id"]: (row["arsenical"], row["lead_paint"]) for row in step["result"]["components"]}
        return [rows["main"], rows[f"main/{table}/{TABLES[table]['id']}"]]

    free, suspected = ("no", "no"), ("suspected", "suspected")
    assert hazards(proof, {}, {}) == [free, suspected]
    assert hazards({}, proof, {}) == [free, free]
    assert hazards(proof, proof, {}) == [free, free]
    assert hazards({**proof, "treatment": "none", "old_coating": "solid-colour-stain"}, proof, {}) == [free, suspected]
    assert hazards(proof, {}, proof) == [free, free]
    # A hazard that is stated always counts.
    assert hazards({"lead_test": "found"}, {}, {}) == [("suspected", "yes")] * 2
    assert hazards({"treatment": "arsenical", "treatment_evidence": "test"}, {}, {})[1] == ("yes", "suspected")


def test_a_lead_test_is_not_inherited_by_another_coating(lw: Catalogue) -> None:
    """A test speaks of the coating that was sampled. Common practice, no source."""
    guard = {"id": "south", "length": "3 m", "old_coating": "solid-colour-stain"}
    zone, own = fields(lw, defaults=TESTED, guards=[guard])
    assert (zone.lead_test, own.lead_test, own.lead_test_method, own.lead_test_date) == ("none-found", None, None, None)


def test_an_own_result_brings_its_own_method(lw: Catalogue) -> None:
    _, guard = fields(lw, defaults=TESTED, guards=[{"id": "south", "length": "3 m", "lead_test": "not-tested"}])
    assert (guard.lead_test, guard.lead_test_method, guard.lead_test_date) == ("not-tested", None, None)


def test_a_method_without_a_result_is_refused(lw: Catalogue) -> None:
    assert refused(lw, defaults={"lead_test_method": "xrf"}) == {("/defaults/lead_test", "missing")}
    untested = {"lead_test": "not-tested", "lead_test_date": "2026-04-20"}
    assert refused(lw, guards=[{"id": "a", "length": "3 m", **untested}]) == {("/guards/0/lead_test", "conflict")}
    walls = {"wall_lead_test_method": "xrf"}
    assert refused(lw, surroundings=walls) == {("/surroundings/wall_lead_test", "missing")}


def test_a_test_of_a_day_to_come_is_refused(lw: Catalogue) -> None:
    assert refused(lw, as_of="2026-04-19", defaults=TESTED) == {("/defaults/lead_test_date", "conflict")}
    lw.plan({"schema": 1, "as_of": "2026-04-20", "zones": [ZONE], "defaults": TESTED}, Options())


def test_a_metal_frame_has_no_wood(lw: Catalogue) -> None:
    frame = {"material": "metal", "species": "douglas-fir", "treatment": "copper"}
    found = refused(lw, zones=[{**ZONE, "frame": frame}])
    assert found == {("/zones/0/frame/species", "conflict"), ("/zones/0/frame/treatment", "conflict")}


def test_what_was_measured_after_the_day_of_the_plan_is_refused(lw: Catalogue) -> None:
    """Days are those of the clocks at the deck: half past midnight UTC is the evening before in New York."""
    reading = {"zone": "main", "reading": "12 %", "taken": "2026-05-05T00:30:00Z"}
    drop = {"zone": "main", "beads": True, "taken": "2026-05-06T09:00:00-04:00"}
    job = {"as_of": "2026-05-04", "readings": [reading], "site": {"timezone": "America/New_York"}}
    assert refused(lw, **job, drop_tests=[drop]) == {("/drop_tests/0/taken", "conflict")}
    lw.plan({"schema": 1, "zones": [ZONE], **job}, Options())
    walls = {f"wall_{name.removeprefix('old_')}": value for name, value in TESTED.items()}
    found = refused(lw, as_of="2026-04-19", surroundings=walls)
    assert found == {("/surroundings/wall_lead_test_date", "conflict")}


@pytest.mark.parametrize(
    ("name", "given", "at"),
    [
        ("wash", {"area": "10 m2"}, ""),
        ("preparation", {"area": "10 m2"}, ""),
        ("abrasive-sequence", {"area": "10 m2"}, ""),
        ("masking", {"works": ["sanding"]}, ""),
        ("condition", {"components": [{"id": "floor", "part": "boards"}]}, "/components/0"),
    ],
)
def test_each_calculator_takes_a_lead_test_and_refuses_a_method_alone(
    lw: Catalogue, name: str, given: dict[str, Any], at: str
) -> None:
    def asked(**test: str) -> dict[str, Any]:
        return {"components": [{**given["components"][0], **test}]} if at else {**given, **test}

    test = {"lead_test": "found", "lead_test_method": "spot-kit", "lead_test_date": "2026-04-20"}
    lw.calculate(name, **asked(**test))
    with pytest.raises(InputProblem) as caught:
        lw.calculate(name, **asked(lead_test_method="spot-kit"))
    assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [(f"{at}/lead_test", "missing")]


def test_the_text_of_a_plan_names_dangers_before_warnings(lw: Catalogue) -> None:
    plan = lw.plan({"schema": 1, "zones": [ZONE]}, Options())
    said = [
        Finding(id=severity, severity=severity, message=f"a {severity}")  # type: ignore[arg-type]  # the four words
        for severity in ("note", "warning", "danger", "stop")
    ]
    speaker = lw.speaker(Options())
    lines = text(report({**plan, "findings": said, "cautions": []}, speaker), speaker, width=80).splitlines()
    found = [line for line in lines if any(f"a {one.severity}" in line for one in said)]
    # The worst stands on the first screen too, with how many more follow.
    assert found == ["Danger: a stop; +1", "Danger: a stop", "Danger: a danger", "- a warning", "- a note"]
    assert msgspec.json.decode(msgspec.json.encode(said[2]))["severity"] == "danger"


def planned(lw: Catalogue, **job: Any) -> tuple[dict[str, Any], Any]:
    """Return what condition says of each part, and the whole plan."""
    site = {"year_built": 1960, "jurisdiction": "US-NY"}
    plan = lw.plan({"schema": 1, "site": site, "zones": [ZONE], **job}, Options())
    (step,) = [step for step in plan["steps"] if step["id"] == "condition"]
    return {row["id"]: row for row in step["result"]["components"]}, plan


@pytest.mark.parametrize(
    "own", [{"species": "douglas-fir"}, {"treatment": "arsenical"}, {"old_coating": "paint"}, {"lead_test": "found"}]
)
def test_what_is_said_of_wood_is_not_lost_by_a_composite_floor(lw: Catalogue, own: dict[str, str]) -> None:
    """Timber railings stand beside composite floors: a hazard that is stated always counts. No source."""
    guard = {"id": "south", "length": "3 m"}
    zones = [{**ZONE, "material": "composite", "structure": "sound"}]
    rows, plan = planned(lw, zones=zones, guards=[{**guard, **own}])
    (said,) = [finding for finding in plan["findings"] if finding.id == "counts-as-wood"]
    assert (said.severity, said.pointer) == ("warning", "/guards/0/material")
    row = rows["main/guards/south"]
    assert row["gate"] != "refused"
    expected = "yes" if own.get("treatment") == "arsenical" else "suspected"
    assert row["arsenical"] == expected
    assert row["lead_paint"] == ("yes" if own.get("lead_test") else "suspected")
    rows, plan = planned(lw, zones=zones, guards=[guard])
    assert rows["main/guards/south"]["gate"] == "refused"
    assert not [finding for finding in plan["findings"] if finding.id == "counts-as-wood"]
    # A zone against the defaults is no other case.
    rows, plan = planned(lw, defaults={"material": "composite"}, zones=[{**ZONE, "structure": "sound", **own}])
    assert rows["main"]["arsenical"] == expected
    assert [f.pointer for f in plan["findings"] if f.id == "counts-as-wood"] == ["/zones/0/material"]


def test_wood_beside_a_composite_floor_keeps_what_the_defaults_say(lw: Catalogue) -> None:
    guard = {"id": "south", "length": "3 m", "material": "wood"}
    zone, own = fields(lw, defaults=TAGGED, zones=[{**ZONE, "material": "composite"}], guards=[guard])
    assert (zone.treatment, zone.treatment_evidence) == (None, None)
    assert (own.treatment, own.treatment_evidence) == ("copper", "end-tag")


def test_a_preservative_in_composite_is_refused(lw: Catalogue) -> None:
    plastic = {"material": "composite", "treatment": "arsenical"}
    assert refused(lw, zones=[{**ZONE, **plastic}]) == {("/zones/0/treatment", "conflict")}
    assert ("/defaults/treatment", "conflict") in refused(lw, defaults=plastic)
    assert refused(lw, guards=[{"id": "a", "length": "3 m", **plastic}]) == {("/guards/0/treatment", "conflict")}
    for name, given, at in (
        ("wash", {"area": "10 m2", **plastic}, ""),
        ("preparation", {"area": "10 m2", **plastic}, ""),
        ("condition", {"components": [{"id": "rail", "part": "guard", **plastic}]}, "/components/0"),
        (
            "condition",
            {"components": [{"id": "rail", "part": "posts", **plastic, "material": "metal"}]},
            "/components/0",
        ),
    ):
        with pytest.raises(InputProblem) as caught:
            lw.calculate(name, **given)
        assert [(fault.pointer, fault.code) for fault in caught.value.faults] == [(f"{at}/treatment", "conflict")]


def test_lead_that_was_found_on_composite_counts(lw: Catalogue) -> None:
    coat = {"material": "composite", "old_coating": "paint", "lead_test": "found"}
    result = lw.calculate("condition", components=[{"id": "rail", "part": "guard", **coat}])
    assert result["result"]["components"][0]["lead_paint"] == "yes"


@pytest.mark.parametrize("table", ["stairs", "guards"])
def test_structure_said_of_all_is_not_asked_of_stairs_and_guards(lw: Catalogue, table: str) -> None:
    """Somebody looked at all of it, and says so once; a floor in a zone's own words is only a floor."""

    def asked(defaults: dict[str, Any], zone: dict[str, Any], own: dict[str, Any]) -> tuple[set[str], str]:
        part = {**TABLES[table], **own}
        rows, plan = planned(lw, defaults=defaults, zones=[{**ZONE, **zone}], **{table: [part]})
        (step,) = [step for step in plan["steps"] if step["id"] == "condition"]
        topics = {q["component"] for q in step["result"]["questions"] if q["topic"] == "structure"}
        return topics, rows[f"main/{table}/{part['id']}"]["gate"]

    name, sound, doubt = f"main/{table}/{TABLES[table]['id']}", {"structure": "sound"}, {"structure": "doubt"}
    assert asked(sound, {}, {}) == (set(), "refinish")
    assert asked({}, sound, {})[0] == {name}
    assert asked(sound, {}, doubt)[1] == "stop-structure"
    assert asked(doubt, {}, {})[1] == "stop-structure"


def test_the_basis_names_what_was_reported_by_its_place_in_the_job(lw: Catalogue) -> None:
    zones = [
        {**ZONE, **TAGGED, "structure": "sound", "coating": "semi-transparent-oil-stain", "frame": TAGGED},
        {**ZONE, **TESTED, "id": "upper"},
    ]
    guard = {"id": "south", "zone": "main", "length": "3 m", **TAGGED, **TESTED, "coating": "paint"}
    walls = {"wall_coating": "paint", "wall_lead_test": "found"}
    _, plan = planned(lw, zones=zones, guards=[guard], surroundings=walls)
    paths = {used.path for used in plan["basis"] if used.kind == "reported" and used.path.startswith("input/")}
    assert paths == {
        "input/zones/0/treatment",
        "input/zones/0/frame/treatment",
        "input/zones/1/lead_test",
        "input/guards/0/treatment",
        "input/guards/0/lead_test",
        "input/surroundings/wall_lead_test",
    }


@pytest.mark.parametrize(
    ("zones", "material"),
    [
        ([{"id": "main", "frame": {"material": "metal"}}, {"id": "north", "part_of": "main"}], "metal"),
        ([{"id": "main"}, {"id": "north", "part_of": "main"}], "wood"),
        ([{"id": "main", "frame": {"material": "metal"}}, {"id": "north"}], "wood"),
        ([{"id": "main"}, {"id": "north", "part_of": "main", "frame": {"material": "metal"}}], "metal"),
    ],
)
def test_a_region_stands_on_the_frame_of_the_zone_it_lies_in(
    lw: Catalogue, zones: list[dict[str, Any]], material: str
) -> None:
    shapes = [{**zone, "length": "4 m", "width": "3 m"} for zone in zones]
    job = read_job({"schema": 1, "zones": shapes, "defaults": {"frame": {"material": "wood"}}}, lw.shelf, Options())
    assert effective_zones(job)[1].fields.frame.material == material
