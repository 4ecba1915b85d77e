"""The paths of tables in the contract: one for each calculator, CSV in and CSV out."""

from __future__ import annotations

from typing import Any, Final

from latewood.catalogue import Catalogue
from latewood.columns import Choices
from latewood.columns.choices import DELIMITERS, DOCS
from latewood.columns.guard import line
from latewood.declare import Calculator
from latewood.problems import InputProblem
from latewood.wire.components import camel
from latewood_api import contract_parts as shared
from latewood_api.answers import CSV
from latewood_api.body import MAX_TABLE_BYTES
from latewood_api.contract_parameters import Parameters
from latewood_api.contract_parts import Json, ok, option
from latewood_api.query import flatten

#: A table may be refused as any body, and its calculator always exists: each has a path of its own.
REFUSED: Final = shared.SEND
SENT: Final[Json] = {"type": "string", "minLength": 1, "pattern": "^[^\\u0000]*$"}
ABOUT: Final = (
    "The header names inputs in flat form; other columns are carried through. A unit stands in the cell (20 m2), in "
    "the header (area [m2]) or in a row of units under it. Rows keep their order and gain the outputs, then the ids of "
    "findings and cautions, then error, error_code and error_pointer: a row that cannot be answered says so there, and "
    "the status stays 200. Rows are answered while the table is still being sent. "
    f"At most {MAX_TABLE_BYTES // 1_000_000} MB."
)


def table_paths(lw: Catalogue, calculator: Calculator, first: str, taken: Parameters) -> Json:
    """Return the path of a calculator's tables, with an example that is computed now; it shows one output."""
    sent = example(calculator)
    operation = {
        "operationId": f"table{camel(calculator.id)}",
        "summary": f"{calculator.title}, many rows",
        "description": f"The fields of {calculator.id} as columns, an answer for each row.",
        "tags": ["tables"],
        "parameters": [
            option("units"),
            option("lang"),
            *(taken.put(f"{calculator.id}.table", one) for one in parameters()),
        ],
        "requestBody": {"required": True, "content": {CSV: {"schema": SENT, "example": sent}}},
        "responses": {"200": _answer(lw, calculator, sent, first), **shared.refusals(REFUSED)},
    }
    return {f"/v1/table/{calculator.id}.csv": {"post": operation}}


def example(calculator: Calculator) -> str:
    """Return the calculator's own example as a table of one row."""
    pairs = flatten(calculator.example)
    return line([name for name, _ in pairs], ",") + line([value for _, value in pairs], ",")


def _answer(lw: Catalogue, calculator: Calculator, sent: str, first: str) -> Json:
    response = ok(f"The table with its answers; the example is asked with outputs={first}.", CSV, {"type": "string"})
    table = lw.table(calculator.id, Choices(outputs=(first,)))
    try:
        answered = b"".join([*table.feed(sent.encode()), *table.finish()]).decode()
    except InputProblem:
        return response
    if not table.refused:
        response["content"][CSV]["example"] = answered
    return response


def parameters() -> list[Json]:
    """Return the parameters of a table beside the units of its answers."""
    text: Json = {"type": "string", "maxLength": 200}
    names: Json = {"type": "array", "items": {**text, "pattern": "^[a-z0-9][A-Za-z0-9._-]*$"}, "minItems": 1}

    def one(name: str, schema: Json, **more: Any) -> Json:
        return {
            "name": name,
            "in": "query",
            "description": DOCS[name],
            "schema": schema,
            **more,
        }

    return [
        one("decimal", {"type": "string", "enum": [".", ","]}),
        one("delimiter", {"type": "string", "enum": list(DELIMITERS)}),
        one("unit_row", {"type": "boolean"}),
        one("outputs", {**names, "uniqueItems": True, "maxItems": 1000}, style="form", explode=False),
        one("carry", {"type": "array", "items": text, "maxItems": 1000}),
    ]
