"""The OpenAPI 3.1 document, written from the declarations the routes are made from.

The framework's own generator is not used: from these types it loses bounds, closedness and docstrings, and it
documents a 400 body that is never sent.

Faults of openapi-python-client that touch us:

- words that differ in case or sign make one enum member twice, and it stops -> units are a pattern, not an enum.
  Tests: `.ci/contract` (Python client)
- knows neither SVG nor CSV, and leaves the answer out -> `content_type_overrides` in
  `examples/clients/python/generator.yaml`. Tests: `.ci/contract` (Python client)

Faults of openapi-typescript that touch us:

- a field with a default becomes required -> `--default-non-nullable=false`. Tests: `.ci/contract` (TypeScript
  client)

Faults of Redocly that touch us:

- "required" inside anyOf without its property is a warning -> two closed objects instead of one with conditions.
  Tests: `.ci/contract` (Redocly)

Faults of public checks for breaks that touch us:

- the best found 8 of 16 -> `tests.contract.compatibility`: all 16, and none of the 7 additions. Tests:
  `contract/test_compatibility::test_a_break_is_found_and_said`,
  `contract/test_compatibility::test_an_addition_is_none`
"""

from __future__ import annotations

import logging
from typing import Any, Final

import msgspec

from latewood.catalogue import CONTRACT, Catalogue
from latewood.declare import Calculator
from latewood.problems import InputProblem
from latewood.wire import Components, Options, outputs, schema
from latewood.wire.components import camel
from latewood_api import contract_parts as shared
from latewood_api.answers import JSON, TEXT, to_json
from latewood_api.contract_fixed import fixed_paths
from latewood_api.contract_links import add_links, links
from latewood_api.contract_parameters import Parameters
from latewood_api.contract_parts import Json, ok, option, ref
from latewood_api.contract_table import ABOUT, table_paths
from latewood_api.query import flatten

TAGS: Final = {
    "calculations": "One calculation, sent and answered as JSON.",
    "spreadsheet": "The same calculations with everything in the query, for cells and links.",
    "tables": f"The same calculations for every row of a CSV file. {ABOUT}",
    "plan": "A whole job in, a plan out.",
    "catalogue": "What this server knows: records, calculators, formulas, models, plugins.",
    "contract": "What changed in this contract.",
    "health": "Whether the server runs and takes work.",
}
DESCRIPTION: Final = (
    "Calculations for people who refinish weathered exterior wood decks. Quantities are sent with their unit "
    '("320 ft2") and answered as value and unit, with low and high (P10 and P90) where uncertain. Every answer says '
    "which numbers it rests on and where they come from.\n\n"
    "Every request may be repeated: nothing is stored, and the same versions answer the same request alike. Send it "
    "again after a time-out or an error of the server. computed_with in an answer names the versions and a digest of "
    "all records. When it changes, calculate again what you keep.\n\n"
    "Within /v1 the contract only grows, from the day 1.0 is published; /v1/changelog says which day that is. Clients "
    "pass fields, words, steps and findings they do not know. A query parameter named _ is ignored, for programs that "
    "keep answers too long."
)

_CELL: Final = [option(name) for name in ("units", "decimal", "lang", "on_error")]
#: Entries of a list that an example shows.
SHOWN: Final = 1

log = logging.getLogger("latewood_api")


def document(lw: Catalogue) -> Json:
    """Return the contract of a running engine: its calculators' paths, the fixed ones, and all they refer to."""
    parts = Components(prefix=shared.SCHEMAS)
    paths: Json = {}
    examples: Json = {}
    asked = Parameters()
    for calculator in lw.calculators.values():
        paths |= _calculator_paths(lw, calculator, parts, asked, examples)
    paths |= fixed_paths(lw, parts)
    add_links(paths, asked)
    refusals = shared.responses(_sample_refusal(lw))
    referred = _referred(paths)
    return {
        "openapi": "3.1.1",
        "info": {
            "title": "latewood",
            "version": CONTRACT,
            "summary": "Calculations for refinishing exterior wood decks",
            "description": DESCRIPTION,
            "contact": {"name": "latewood maintainers"},
            "license": {"name": "Apache License 2.0", "identifier": "Apache-2.0"},
        },
        "servers": [{"url": "/", "description": "This server"}],
        "security": [],
        "tags": [{"name": name, "description": text} for name, text in TAGS.items()],
        "paths": paths,
        "components": {
            "schemas": dict(sorted({**shared.schemas(), **parts.found}.items())),
            "parameters": asked.found,
            "headers": shared.headers(),
            "responses": {name: one for name, one in refusals.items() if f"#/components/responses/{name}" in referred},
            "examples": examples,
            "links": links(paths),
        },
    }


def _calculator_paths(
    lw: Catalogue, calculator: Calculator, parts: Components, taken: Parameters, examples: Json
) -> Json:
    name = camel(calculator.id)
    asked = dict(calculator.example)
    answer = schema.answer_schema(calculator, parts)
    shown = None
    answered = example_answer(lw, calculator)
    first = first_output(calculator, answered)
    if answered is not None:
        shown = ref("examples", f"{name}Answer")
        examples[f"{name}Answer"] = {
            "summary": f"{calculator.title}, computed when this document was written; lists are cut short",
            "value": shortened(computed(answered)),
        }
    question = calculator.question.split("\n\n")[0].replace("\n", " ")
    send = {
        "operationId": f"calculate{name}",
        "summary": calculator.title,
        "description": question,
        "tags": ["calculations"],
        "parameters": [option("units"), option("working"), option("decimal"), option("lang")],
        "requestBody": {
            "required": True,
            "content": {JSON: {"schema": schema.request_schema(calculator, parts), "example": asked}},
        },
        "responses": {"200": ok("The answer.", JSON, answer, example=shown), **shared.refusals(shared.SEND)},
    }
    fields = [taken.put(calculator.id, one) for one in _query_parameters(calculator, parts)]
    row = {
        "operationId": f"row{name}",
        "summary": f"{calculator.title}, asked by query",
        "description": f"{question} Lists of objects are written by index, as in readings.0.value.",
        "tags": ["spreadsheet"],
        "parameters": [*fields, option("units"), option("working"), option("decimal"), option("lang")],
        "responses": {
            "200": ok("The answer.", JSON, answer, example=shown, tagged=True),
            "304": ref("responses", "NotModified"),
            **shared.refusals((*shared.READ, 503)),
        },
    }
    cell = {
        "operationId": f"cell{name}",
        "summary": f"{calculator.title}, one output as text",
        "description": f"One output of {calculator.id} as plain text. Faults are one line of text.",
        "tags": ["spreadsheet"],
        "parameters": [_output(calculator, first), *fields, *_CELL],
        "responses": {
            "200": ok(
                "The output as text, or a line beginning #ERROR where on_error=text.",
                TEXT,
                {"type": "string"},
                tagged=True,
            ),
            "304": ref("responses", "NotModified"),
            **shared.refusals((*shared.READ_ONE, 503), cell=True),
        },
    }
    return {
        f"/v1/calculate/{calculator.id}": {"post": send},
        f"/v1/row/{calculator.id}": {"get": row},
        f"/v1/cell/{calculator.id}/{{output}}": {"get": cell},
        **table_paths(lw, calculator, first, taken),
    }


def _query_parameters(calculator: Calculator, parts: Components) -> list[Json]:
    given: dict[str, Any] = {}
    for name, value in flatten(calculator.example):
        given[name] = [*given[name], value] if name in given else [value]
    found = []
    for f in schema.flat_fields(calculator, parts):
        parameter: Json = {"name": f.name, "in": "query", "description": f.doc, "schema": f.schema}
        if f.required:
            parameter["required"] = True
        example = given.get(f.name, f.example)
        if example is not None:
            parameter["example"] = _typed(example, f.schema)
        found.append(parameter)
    return found


def _typed(example: Any, wanted: Json) -> Any:
    """Return an example in the type its schema names; the flat form has texts only."""
    kind = wanted.get("type", "string")
    if kind == "array":
        return [_typed(one, wanted["items"]) for one in (example if isinstance(example, list) else [example])]
    if isinstance(example, list):
        example = example[0]
    match kind:
        case "integer":
            return int(example)
        case "boolean":
            return example in (True, "true")
        case _:
            return str(example)


def _referred(tree: Any) -> set[str]:
    """Return what a part of the document refers to directly."""
    if isinstance(tree, dict):
        own = {tree["$ref"]} if isinstance(tree.get("$ref"), str) else set()
        return own.union(*(_referred(part) for part in tree.values()))
    return set().union(*(_referred(part) for part in tree)) if isinstance(tree, list) else set()


def example_answer(lw: Catalogue, calculator: Calculator) -> Json | None:
    """Return the answer to a calculator's own example; a plugin whose example fails must not stop the server."""
    try:
        return lw.answer(calculator.id, dict(calculator.example), Options())
    except Exception:
        log.warning("the example of calculator %s of plugin %s fails", calculator.id, calculator.plugin, exc_info=True)
        return None


def first_output(calculator: Calculator, answered: Json | None) -> str:
    """Return the first output the example's answer has as one value, for examples of cells.

    Where it has none, it is one of the first item of a list, under that item's id.
    """
    result = (answered or {"result": {}})["result"]
    known = list(outputs.declared(calculator.result))
    held = (name for name in known if "." not in name and not isinstance(result.get(name), list | None))
    if (single := next(held, None)) is not None:
        return single
    for name in known:
        head, _, rest = name.partition(".<id>.")
        items = result.get(head)
        if isinstance(items, list) and items and rest not in ("", "id") and rest in items[0]:
            return f"{head}.{items[0]['id']}.{rest}"
    return known[0]


def _output(calculator: Calculator, first: str) -> Json:
    names = list(outputs.declared(calculator.result))
    whole = [name for name in names if name.rpartition(".")[0] not in names]
    return {
        "name": "output",
        "in": "path",
        "required": True,
        "description": f"One of {', '.join(whole)}, where <id> is the id of a list's item. A quantity also has .low, "
        ".high, .number and .unit, an amount of money .amount and .currency.",
        "schema": {"type": "string", "minLength": 1, "maxLength": 200, "pattern": "^[a-z0-9][A-Za-z0-9._-]*$"},
        "example": first,
    }


def computed(answer: Any) -> Any:
    """Return an answer as the example the contract shows. The digest of the records is left out: it changes daily."""
    tree = msgspec.json.decode(to_json(answer))
    tree["computed_with"]["catalogue"] = "sha256:…"
    return tree


def shortened(answer: Any) -> Any:
    """Return an answer with the first entries of each list: enough to see its shape, and a page instead of ten."""
    if isinstance(answer, dict):
        return {name: shortened(part) for name, part in answer.items()}
    return [shortened(part) for part in answer[:SHOWN]] if isinstance(answer, list) else answer


def _sample_refusal(lw: Catalogue) -> InputProblem:
    """Return what the first calculator says to a request with two typical faults."""
    calculator = next(iter(lw.calculators.values()))
    name = next(iter(calculator.example))
    try:
        lw.answer(calculator.id, {**calculator.example, name: 24, f"{name}s": True}, Options())
    except InputProblem as refused:
        return refused
    raise AssertionError(f"{calculator.id} accepted a field it does not have")
