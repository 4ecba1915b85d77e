"""What a job may say of preservatives, frames and lead tests, who inherits it, and what is refused."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest

from latewood.catalogue import Catalogue
from latewood.plan.merged import merged_components, merged_zones
from latewood.plan.run import read_job
from latewood.plan.text import text
from latewood.problems import InputProblem
from latewood.provenance import Finding
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
    zones = merged_zones(read)
    return zones[0].fields, merged_components(read, zones)["guards", "south"].fields


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
    proof = {"treatment_evidence": "end-tag", "lead_test": "none-found", "lead_test_method": "laboratory"}

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
    lines = text({**plan, "findings": said, "cautions": []}).splitlines()
    found = [line.strip() for line in lines if line.strip().split(":")[-1].strip() in {f"a {f.severity}" for f in said}]
    assert found == ["stop: a stop", "danger: a danger", "warning: a warning", "note: a note"]
    assert msgspec.json.decode(msgspec.json.encode(said[2]))["severity"] == "danger"
