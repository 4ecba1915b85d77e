"""The contract's view of a job and of its plan."""

from __future__ import annotations

from collections.abc import Iterable
from typing import get_args

from latewood.declare import Calculator
from latewood.plan import Job
from latewood.plan.components import Component
from latewood.plan.task import Status
from latewood.wire import Components, struct_reader
from latewood.wire.components import camel
from latewood.wire.schema import envelope
from latewood.wire.write import answer_schema as result_schema
from latewood_api.contract_parts import STRING, STRINGS, Json
from latewood_api.contract_plan_lists import (
    assumption_schema,
    hours_schema,
    purchase_schema,
    question_schema,
    verdict_schema,
)


def job_schema(parts: Components) -> Json:
    """Refer to the closed schema of a job."""
    return struct_reader(Job).schema(parts)


def step_schema(parts: Components, calculators: Iterable[Calculator], sheet: Json) -> Json:
    """Return the alternatives of a plan's step: one of each calculator with its own result, and last any other.

    The order matters: a client reads a step as the first alternative that fits, so a calculator its contract does not
    know falls through to the last. A discriminator would make such a client refuse the whole plan.
    """
    stop = parts.put(
        "PlanHeld",
        {
            "type": "object",
            "description": "A part that is stopped, and the finding that says so.",
            "properties": {"id": STRING, "finding": STRING},
            "required": ["id", "finding"],
        },
    )

    # What any step says stands once; each alternative adds its calculator and its result.
    facts = parts.put(
        "PlanStepFacts",
        {
            "type": "object",
            "description": "What a step of a plan says beside its result.",
            "properties": {
                "id": STRING,
                "label": {**STRING, "description": "What people call the work."},
                "status": {"type": "string", "enum": [*get_args(Status)]},
                "route": {**STRING, "description": "What people call the route that is taken, where one is chosen."},
                "why": {**STRING, "description": "Why the step stands here, is not done, or leaves parts out."},
                "unlock": {**STRINGS, "description": "JSON Pointers to what the job would have to say."},
                "places": {**STRINGS, "description": "Ids of the components it is about."},
                "stopped_by": {"type": "array", "items": stop},
                "lifted_by": {**STRINGS, "description": "JSON Pointers to what may be said anew to lift the stops."},
                "rests_on": {**STRINGS, "description": "Ids of open questions, steps and parts it rests on."},
                "sheet": sheet,
            },
            "required": ["id", "label", "status"],
        },
    )

    def step(name: str, about: str, calculator: Json, result: Json) -> Json:
        own = {
            "type": "object",
            "properties": {"calculator": calculator, "result": result},
            "required": ["calculator"],
        }
        return parts.put(name, {"description": about, "allOf": [facts, own]})

    typed = [
        step(
            f"{camel(calculator.id)}PlanStep",
            f"A step of a plan that {calculator.id} computes: its result, or why there is none.",
            {**STRING, "const": calculator.id},
            result_schema(calculator.result, parts),
        )
        for calculator in calculators
    ]
    other: Json = {"type": "object", "description": "As the step's calculator answers it."}
    about = "A step of a plan whose calculator this contract does not know: what was computed, or why it was not."
    return {"anyOf": [*typed, step("PlanStep", about, STRING, other)]}


def plan_schema(parts: Components, calculators: Iterable[Calculator]) -> Json:
    """Refer to the open schema of a plan. A step's result is what its calculator answers."""
    rest = envelope(parts)
    step = step_schema(parts, calculators, rest.pop("sheet"))
    instant = {**STRING, "format": "date-time"}
    line = parts.put(
        "PlanHandOverLine",
        {
            "type": "object",
            "description": "From when the deck bears one use.",
            "properties": {
                "id": {**STRING, "description": "rain-safe, walk, furniture, covers, full-cure, or a later use."},
                "at": {**instant, "description": "From when."},
                "estimated": {"type": "boolean", "description": "Whether it lies beyond the weather given."},
                "text": {**STRING, "description": "The same in words."},
            },
            "required": ["id", "at", "estimated", "text"],
        },
    )
    handed = parts.put(
        "PlanHandOver",
        {
            "type": "object",
            "description": "When one coating is laid, and when what it is on may be used again.",
            "properties": {
                "step": {**STRING, "description": "Id of the step that judges the weather."},
                "places": {**STRINGS, "description": "Ids of the components it is about."},
                "verdict": {**STRING, "description": "As the step has it: yes, conditional, at-risk or no."},
                "starts": {**instant, "description": "When the first coat starts, where one can."},
                "text": {**STRING, "description": "The same in words, and what comes first."},
                "lines": {"type": "array", "items": line},
            },
            "required": ["step", "places", "verdict", "text", "lines"],
        },
    )
    waste = parts.put(
        "PlanWaste",
        {
            "type": "object",
            "description": "What one step leaves over, what it is kept in, and where it ends.",
            "properties": {
                "id": STRING,
                "step": STRING,
                "title": STRING,
                "waste_mass": parts.answer("mass"),
                "waste_volume": parts.answer("volume"),
                "container": STRING,
                "container_count": {"type": "integer"},
                "hazardous": STRING,
                "ending": STRINGS,
            },
            "required": ["id", "step", "container", "hazardous", "ending"],
        },
    )
    stopped = parts.put(
        "PlanStop",
        {
            "type": "object",
            "description": "A reason why nothing is planned for a zone, or for a stair, guard, extra or frame of one.",
            "properties": {
                "id": {**STRING, "description": "The zone; for what belongs to it zone, table and id."},
                "why": STRING,
                "finding": {**STRING, "description": "Id of the finding that says so."},
                "lifted_by": {**STRINGS, "description": "JSON Pointers to what may be said anew to lift it."},
            },
            "required": ["id", "why", "finding", "lifted_by"],
        },
    )
    totals = parts.put(
        "PlanTotals",
        {
            "type": "object",
            "description": "What the steps add up to; a total that was not computed is left out.",
            "properties": {
                "area": parts.answer("area"),
                "person_hours": parts.ref("PlanTime"),
                "hand_over": {"type": "array", "items": handed},
                "waste": {"type": "array", "items": waste},
            },
        },
    )
    job = parts.put(
        "PlanJob",
        {
            "type": "object",
            "description": "The job as it was understood.",
            "properties": {
                "schema": {"type": "integer"},
                "zones": STRINGS,
                "name": STRING,
                "reference": STRING,
                "as_of": {**STRING, "format": "date"},
                "units": {**STRING, "description": "Unit system of the answer."},
                "language": {**STRING, "description": "Language of the answer."},
            },
            "required": ["schema", "zones", "units", "language"],
        },
    )
    return parts.put(
        "Plan",
        {
            "type": "object",
            "description": "The steps of a job in order; basis, findings and cautions once for all of them.",
            "properties": {
                "job": job,
                "components": {"type": "array", "items": result_schema(Component, parts)},
                "stopped": {"type": "array", "items": stopped},
                "verdicts": {"type": "array", "items": verdict_schema(parts)},
                "questions": {"type": "array", "items": question_schema(parts)},
                "steps": {"type": "array", "items": step},
                "purchases": {"type": "array", "items": purchase_schema(parts)},
                "hours": {"type": "array", "items": hours_schema(parts)},
                "totals": totals,
                "assumptions": {"type": "array", "items": assumption_schema(parts)},
                **rest,
            },
            "required": [
                "job",
                "components",
                "stopped",
                "verdicts",
                "questions",
                "steps",
                "purchases",
                "hours",
                "totals",
                "assumptions",
                "basis",
                "findings",
                "cautions",
                "computed_with",
            ],
        },
    )


def sample_job() -> Json:
    """Return a job of invented facts, small enough to read."""
    return {
        "schema": 1,
        "units": "us",
        "as_of": "2026-05-04",
        "site": {"timezone": "America/New_York", "jurisdiction": "US-NY", "year_built": 1996},
        "defaults": {
            "species": "ipe",
            "treatment": "none",
            "coating": "clear-penetrating-oil",
            "surface": "sanded",
            "old_coating": "none",
        },
        "zones": [
            {"id": "main", "outline": "0 0, 24 0, 24 16, 0 16 ft", "exposure": "open"},
            {"id": "north", "part_of": "main", "outline": "0 12, 24 12, 24 16, 0 16 ft", "exposure": "roofed"},
        ],
    }
