"""The steps of a plan have the types of their calculators, and a step no contract knows yet passes."""

from __future__ import annotations

import copy
import dataclasses
from pathlib import Path
from typing import Any

import jsonschema
import msgspec
import pytest
from tests.bundled import bundled
from tests.contract.compatibility import breaks
from tests.contract.later import STEP

from latewood.catalogue import Catalogue
from latewood.job_files import read_file, with_weather
from latewood.wire import Options
from latewood.wire.components import camel
from latewood_api.openapi import document

JOBS = sorted((Path(__file__).parents[2] / "examples" / "jobs").glob("*.toml"))
ENGINE = bundled()
CONTRACT = document(ENGINE)
SCHEMAS = CONTRACT["components"]["schemas"]


def fits(schema: dict[str, Any], value: Any) -> bool:
    whole = {**schema, "components": CONTRACT["components"]}
    return bool(jsonschema.Draft202012Validator(whole).is_valid(value))


def alternatives(contract: dict[str, Any]) -> list[str]:
    """Return the names of what a step may be, in order."""
    steps = contract["components"]["schemas"]["Plan"]["properties"]["steps"]
    return [choice["$ref"].rpartition("/")[2] for choice in steps["items"]["anyOf"]]


def test_each_calculator_has_its_step_and_the_last_is_any_other() -> None:
    assert alternatives(CONTRACT) == [*(f"{camel(id)}PlanStep" for id in ENGINE.calculators), "PlanStep"]
    for id in ENGINE.calculators:
        facts, own = SCHEMAS[f"{camel(id)}PlanStep"]["allOf"]
        assert facts == {"$ref": "#/components/schemas/PlanStepFacts"}
        step = own["properties"]
        assert step["calculator"]["const"] == id
        assert step["result"] == {"$ref": f"#/components/schemas/{camel(id)}Result"}


@pytest.mark.parametrize("job", JOBS, ids=lambda job: job.stem)
def test_every_step_of_a_plan_fits_its_own_calculator(job: Path) -> None:
    """The last alternative takes anything, so a step that fits only there would lose its type in silence."""
    told = with_weather(read_file(job), job.parent)
    plan = msgspec.json.decode(msgspec.json.encode(ENGINE.plan(told, Options(working=True))))
    assert plan["steps"]
    for step in plan["steps"]:
        schema = SCHEMAS[f"{camel(step['calculator'])}PlanStep"]
        jsonschema.Draft202012Validator({**schema, "components": CONTRACT["components"]}).validate(step)


def test_a_step_fits_no_calculator_but_its_own() -> None:
    step = {"id": "main", "calculator": "coverage", "label": "Finish", "status": "skipped", "why": "no coating"}
    assert [name for name in alternatives(CONTRACT) if fits(SCHEMAS[name], step)] == ["CoveragePlanStep", "PlanStep"]
    wrong = {**step, "result": {"volume": "3 L"}}
    assert [name for name in alternatives(CONTRACT) if fits(SCHEMAS[name], wrong)] == ["PlanStep"]


def test_a_step_of_a_later_server_fits_the_last_alone() -> None:
    assert [name for name in alternatives(CONTRACT) if fits(SCHEMAS[name], STEP)] == ["PlanStep"]


def test_a_calculator_of_a_plugin_has_its_step_and_breaks_nothing() -> None:
    shelf = copy.copy(ENGINE.shelf)
    added = dataclasses.replace(ENGINE.calculators["movement"], id="night-lights", plugin="other")
    shelf.calculators = {"night-lights": added, **ENGINE.calculators}
    grown = document(Catalogue(shelf))
    assert alternatives(grown)[-1] == "PlanStep"
    assert "NightLightsPlanStep" in alternatives(grown)
    assert breaks(CONTRACT, grown) == []


def test_a_step_whose_type_is_taken_away_is_a_break() -> None:
    """What it answers still fits the last alternative, but no client would find it under its name."""
    shelf = copy.copy(ENGINE.shelf)
    shelf.calculators = {id: one for id, one in ENGINE.calculators.items() if id != "movement"}
    lost = "schema MovementPlanStep, a type in generated clients, is taken away or renamed"
    assert lost in breaks(CONTRACT, document(Catalogue(shelf)))
