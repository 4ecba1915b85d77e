"""A plan where wood, coating or frame may poison: what is stopped is neither sanded, washed, coated nor bought for."""

from __future__ import annotations

from typing import Any

import msgspec
import pytest
from tests.engine.lead_tests import NO_LEAD
from tests.engine.plan.buying import abrasives, finishes

from latewood.catalogue import Catalogue
from latewood.problems import InputProblem
from latewood.wire import Options

BOARDS = {"size": "5/4x6", "gap": "1/8 in", "joist_spacing": "16 in"}
MAIN = {"id": "main", "length": "5 m", "width": "4 m", "boards": BOARDS}
IPE = {"species": "ipe", "treatment": "none", "old_coating": "none", "coating": "clear-penetrating-oil"}
LOOKED = {"signs": ["grey"], "structure": "sound", "surface": "sanded"}
GUARD = {"id": "rail", "zone": "main", "length": "4 m", "height": "36 in", "structure": "sound"}
PINE = {"species": "southern-yellow-pine", "coating": "semi-transparent-oil-stain"}
NEW = {"year_built": 2015, "jurisdiction": "US-NY"}
OLD = {"year_built": 1998, "jurisdiction": "US-NY"}


def planned(lw: Catalogue, **job: Any) -> dict[str, Any]:
    tree = {"schema": 1, "zones": [MAIN], **job}
    return msgspec.json.decode(msgspec.json.encode(lw.plan(tree, Options())))  # type: ignore[no-any-return]


def ids(plan: dict[str, Any], *severities: str) -> set[str]:
    return {f["id"] for f in plan["findings"] if not severities or f["severity"] in severities}


def of(plan: dict[str, Any], calculator: str) -> list[dict[str, Any]]:
    return [step for step in plan["steps"] if step["calculator"] == calculator]


@pytest.mark.parametrize("treatment", ["creosote", "pentachlorophenol"])
@pytest.mark.parametrize("spoken", [True, False])
def test_a_floor_on_which_no_work_may_be_planned_gets_none(lw: Catalogue, treatment: str, spoken: bool) -> None:
    """IARC 92 and 117; Canadian Wood Council: neither stain nor paint holds on oilborne preservatives."""
    wood = {**IPE, **PINE, "treatment": treatment, **(LOOKED if spoken else {})}
    plan = planned(lw, defaults=wood, site=NEW)
    assert f"{treatment}-stop" in ids(plan, "stop")
    assert finishes(plan) == []
    assert abrasives(plan) == []
    assert all(step["status"] == "stopped" for name in ("preparation", "coverage") for step in of(plan, name))
    assert [step for step in of(plan, "wash") + of(plan, "abrasive-sequence") if step["status"] == "done"] == []


def test_a_guard_of_creosote_stops_nothing_but_itself(lw: Catalogue) -> None:
    guard = {**GUARD, **PINE, "treatment": "creosote"}
    plan = planned(lw, defaults={**IPE, **LOOKED}, guards=[guard], site=NEW)
    assert [one["id"] for one in finishes(plan)] == ["coverage-clear-penetrating-oil"]
    (sanded,) = of(plan, "abrasive-sequence")
    assert {row["part"] for row in sanded["result"]["rows"]} & {"guard"} == set()
    assert any(row["part"] == "field" for row in sanded["result"]["rows"])


@pytest.mark.parametrize(
    ("said", "stopped"),
    [
        ({}, True),
        ({"treatment": "copper"}, True),
        ({"treatment": "none", "treatment_evidence": "owner-says"}, True),
        ({"treatment": "copper", "treatment_evidence": "end-tag"}, False),
        ({"treatment": "none", "treatment_evidence": "test"}, False),
    ],
)
@pytest.mark.parametrize("table", ["guards", "stairs", "extras"])
def test_parts_of_old_pine_are_not_sanded_with_a_hardwood_floor(
    lw: Catalogue, table: str, said: dict[str, str], stopped: bool
) -> None:
    """CPSC and EPA: softwood of before 2004 most likely holds arsenic; an end tag tells."""
    shapes = {
        "guards": GUARD,
        "stairs": {"id": "rail", "zone": "main", "rise": "31 in", "structure": "sound"},
        "extras": {
            "id": "rail",
            "zone": "main",
            "part": "fascia",
            "length": "4 m",
            "size": "2x8",
            "structure": "sound",
        },
    }
    part = {**shapes[table], **PINE, "treatment": "unknown", **said}
    plan = planned(lw, defaults={**IPE, **LOOKED}, site=OLD, **{table: [part]})
    (sanded,) = of(plan, "abrasive-sequence")
    parts = {row["part"] for row in sanded["result"]["rows"] if row["status"] == "planned"}
    assert "field" in parts
    assert bool(parts & {"guard", "stair", "fascia"}) is not stopped
    assert ("arsenic-not-sanded" in ids(plan, "stop")) is stopped


def test_a_guard_of_old_paint_is_not_sanded_until_it_is_tested(lw: Catalogue) -> None:
    """40 CFR 745: before 1978; 745.82(a): a test that finds none takes the work out of the rule."""
    guard = {**GUARD, "species": "ipe", "coating": "solid-colour-stain", "old_coating": "paint"}
    site = {"year_built": 1965, "jurisdiction": "US-NY"}

    def parts(**test: str) -> tuple[set[str], set[str]]:
        plan = planned(lw, defaults={**IPE, **LOOKED}, site=site, guards=[{**guard, **test}])
        (sanded,) = of(plan, "abrasive-sequence")
        return {row["part"] for row in sanded["result"]["rows"]}, ids(plan, "stop")

    found, stops = parts()
    assert "guard" not in found
    assert "lead-not-sanded" in stops
    found, stops = parts(**NO_LEAD)
    assert "guard" in found
    assert "lead-not-sanded" not in stops


def test_a_floor_of_an_old_oil_is_not_sanded_until_it_is_tested(lw: Catalogue) -> None:
    """A deck of 1965 with an old oil: 40 CFR 745.103 counts other surface coatings as paint."""
    site = {"year_built": 1965, "jurisdiction": "US-NY"}
    wood = {**IPE, **LOOKED, "old_coating": "semi-transparent-oil-stain"}
    plan = planned(lw, defaults=wood, site=site)
    assert finishes(plan) == []
    assert "no-route" in ids(plan, "stop")
    assert "lead-paint" in {one["id"] for one in plan["cautions"]}
    tested = planned(lw, defaults={**wood, **NO_LEAD}, site=site)
    assert [one["id"] for one in finishes(tested)] == ["coverage-clear-penetrating-oil"]
    assert {line["kind"] for line in tested["basis"] if line["path"].endswith("/lead_test")} == {"reported"}


def test_a_proof_without_what_it_proves_is_refused(lw: Catalogue) -> None:
    with pytest.raises(InputProblem) as caught:
        planned(lw, zones=[{**MAIN, "treatment_evidence": "end-tag"}])
    assert {(f.pointer, f.code) for f in caught.value.faults} == {("/zones/0/treatment", "missing")}
    planned(lw, zones=[{**MAIN, "treatment_evidence": "end-tag"}], defaults={"treatment": "copper"})
