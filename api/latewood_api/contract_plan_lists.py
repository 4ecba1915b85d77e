"""The contract's view of what a plan lists beside its steps: verdicts, open questions, purchases."""

from __future__ import annotations

from latewood.plan.verdicts import WORDS
from latewood.wire import Components
from latewood_api.contract_parts import STRING, STRINGS, Json


def verdict_schema(parts: Components) -> Json:
    """Refer to the schema of a verdict of a plan."""
    changes: Json = {
        "unlock": {**STRINGS, "description": "JSON Pointers to fields that may change it."},
        "until": {
            "type": "array",
            "items": {**STRING, "format": "date-time"},
            "description": "When it may change: look again then.",
        },
    }
    reason = parts.put(
        "PlanReason",
        {
            "type": "object",
            "description": "Why a verdict is what it is.",
            "properties": {
                "id": STRING,
                "message": STRING,
                "values": {"type": "object", "description": "What the message says, as data."},
                "places": {**STRINGS, "description": "Ids of the components it holds for."},
                **changes,
            },
            "required": ["id", "message", "places"],
        },
    )
    return parts.put(
        "PlanVerdict",
        {
            "type": "object",
            "description": "Whether parts may be prepared, or coated. Only go is a go; not-judged is silence.",
            "properties": {
                "phase": {**STRING, "description": "prepare, coat, or a later phase."},
                "verdict": {**STRING, "description": f"{', '.join(WORDS)}, or a later word: only go is a go."},
                "zones": STRINGS,
                "components": STRINGS,
                "reasons": {"type": "array", "items": reason},
                **changes,
                "as_of": {**STRING, "description": "Day or local time it holds for."},
            },
            "required": ["phase", "verdict", "zones", "components", "reasons"],
        },
    )


def question_schema(parts: Components) -> Json:
    """Refer to the schema of an open question of a plan."""
    block = parts.put(
        "PlanBlock",
        {
            "type": "object",
            "description": "A step that waits for an answer, and the components for which it does.",
            "properties": {"step": STRING, "components": STRINGS},
            "required": ["step", "components"],
        },
    )
    return parts.put(
        "PlanQuestion",
        {
            "type": "object",
            "description": "What is still to be answered, and what waits for it.",
            "properties": {
                "id": STRING,
                "component": STRING,
                "topic": STRING,
                "question": STRING,
                "how": STRING,
                "fields": {**STRINGS, "description": "JSON Pointers to the fields that take the answer."},
                "blocks": {"type": "array", "items": block},
            },
            "required": ["id", "component", "topic", "question", "how", "fields", "blocks"],
        },
    )


def purchase_schema(parts: Components) -> Json:
    """Refer to the schema of a line of a plan's purchases."""
    count: Json = {"type": "integer"}
    container = parts.put(
        "PlanContainer",
        {
            "type": "object",
            "description": "What is sold in one piece: its label, and how many.",
            "properties": {"label": STRING, "size": parts.answer("volume"), "count": count},
            "required": ["label", "count"],
        },
    )
    condition = parts.put(
        "PlanCondition",
        {
            "type": "object",
            "description": "What stands before buying.",
            "properties": {"id": STRING, "message": STRING, "places": STRINGS},
            "required": ["id", "message", "places"],
        },
    )
    return parts.put(
        "PlanBuy",
        {
            "type": "object",
            "description": "A line of what to buy; its kind says which of the amounts it has.",
            "properties": {
                "id": STRING,
                "kind": {
                    **STRING,
                    "description": "finish, wash-agent, abrasive, masking, cloth, screw, waste-can, or a later kind.",
                },
                "title": STRING,
                "step": {**STRING, "description": "Id of the step that asks for it."},
                "places": STRINGS,
                "containers": {"type": "array", "items": container},
                "volume": {"allOf": [parts.answer("volume")], "description": "Finish that is used, by the median."},
                "text": {**STRING, "description": "What to buy of a finish, in a line."},
                "sheet_area": parts.answer("area"),
                "cover_area": parts.answer("area"),
                "tape_length": parts.answer("length"),
                "product_mass": {
                    "allOf": [parts.answer("mass")],
                    "description": "Powder of a wash agent to weigh out.",
                },
                "stock_volume": {"allOf": [parts.answer("volume")], "description": "Liquid of a wash agent as sold."},
                "typical_count": {**count, "description": "Pieces that go by the median."},
                "count": {**count, "description": "Pieces to buy."},
                "boxes": count,
                "grade": {**STRING, "description": "Id of the grade of an abrasive."},
                "grade_label": {**STRING, "description": "What people call the grade."},
                "machine": {**STRING, "description": "Id of the machine an abrasive is for."},
                "machine_label": {**STRING, "description": "What people call the machine."},
                "form": {**STRING, "description": "What an abrasive is sold as: disc, sheet, belt, or a later form."},
                "shortage_risk": parts.answer("fraction"),
                "conditions": {"type": "array", "items": condition},
                "rests_on": STRINGS,
                "stopped_by": {"type": "array", "items": parts.ref("PlanHeld")},
                "lifted_by": STRINGS,
            },
            "required": ["id", "kind", "title", "step", "places", "containers", "conditions"],
        },
    )


def assumption_schema(parts: Components) -> Json:
    """Refer to the schema of an assumption of a plan."""
    moved = parts.put(
        "PlanMoved",
        {
            "type": "object",
            "description": "An output that an assumption moves, and the largest relative change of it.",
            "properties": {"output": STRING, "output_label": STRING, "effect": {"type": "number"}},
            "required": ["output", "output_label", "effect"],
        },
    )
    return parts.put(
        "PlanAssumption",
        {
            "type": "object",
            "description": "A value that was not given, what was assumed, and what another value would move.",
            "properties": {
                "id": STRING,
                "field": {**STRING, "description": "JSON Pointer to the field, where the job has it."},
                "label": STRING,
                "assumed": STRING,
                "output": {**STRING, "description": "Id of what it moves most."},
                "output_label": {**STRING, "description": "What people call that."},
                "effect": {"type": "number", "description": "Largest relative change another likely value brings."},
                "moves": {"type": "array", "items": moved, "description": "All that it moves, the largest first."},
                "components": STRINGS,
                "route_taken": {"type": "boolean", "description": "False where it moves only routes not taken."},
            },
            "required": ["id", "label", "assumed", "components", "route_taken"],
        },
    )


def hours_schema(parts: Components) -> Json:
    """Refer to the schema of a line of a plan's hours."""
    number: Json = {"type": "number"}
    time = parts.put(
        "PlanTime",
        {
            "type": "object",
            "description": "Hours: their mean, which adds up, and their median with P10 and P90, which do not.",
            "properties": {"mean": number, "value": number, "low": number, "high": number, "unit": STRING},
            "required": ["mean", "unit"],
        },
    )
    return parts.put(
        "PlanHours",
        {
            "type": "object",
            "description": "What a piece of work takes, and on which components.",
            "properties": {
                "id": STRING,
                "step": STRING,
                "label": STRING,
                "scope": {**STRING, "description": "person-hours, elapsed, or a later scope."},
                "people": {"type": "integer", "description": "How many are at it, where the time is elapsed."},
                "components": STRINGS,
                "face": {
                    **STRING,
                    "description": "Id of the face it is for, where it is for one, as components have it.",
                },
                "face_label": {**STRING, "description": "What people call the face."},
                "time": time,
            },
            "required": ["id", "step", "label", "scope", "components", "time"],
        },
    )
