"""The schemas of what a calculator takes and answers, and of its flat form."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import msgspec

from latewood.declare import Calculator
from latewood.provenance import Finding, Shown, SIValue, Used
from latewood.wire import flat
from latewood.wire.components import Components, camel
from latewood.wire.quantity_reader import QuantityReader
from latewood.wire.structs import struct_reader
from latewood.wire.write import answer_schema as result_schema


class FormulaLine(msgspec.Struct, kw_only=True):
    """One worked step: the formula in words and symbols, the numbers put in, what came out, and its source."""

    formula: str
    about: str
    words: str
    symbols: str
    numbers: list[SheetNumber]
    result: SheetNumber
    source: str
    where: str


class SheetNumber(msgspec.Struct, kw_only=True):
    """A number of a worked step, at its median."""

    name: str
    symbol: str
    value: float
    unit: str


class ComputedWith(msgspec.Struct, kw_only=True):
    """What computed an answer: versions of engine, contract and plugins, and a digest of all records."""

    engine: str
    contract: str
    plugins: dict[str, str]
    catalogue: str


@dataclass(frozen=True)
class FlatField:
    """One name of the flat form."""

    name: str
    required: bool
    schema: dict[str, Any]
    doc: str
    example: Any


def request_schema(calculator: Calculator, parts: Components) -> dict[str, Any]:
    """Return the schema of a calculator's request body."""
    return struct_reader(calculator.inputs).schema(parts)


def envelope(parts: Components) -> dict[str, dict[str, Any]]:
    """Return the properties every answer has beside its result."""
    types = [Used, Finding, Shown, SIValue, ComputedWith, FormulaLine, SheetNumber]
    _, found = msgspec.json.schema_components(types, ref_template=f"{parts.prefix}{{name}}")
    for name, schema in found.items():
        if "required" not in schema or not schema["required"]:
            schema.pop("required", None)
        _tidy(schema)
        parts.put(name, schema)
    return {
        "basis": {"type": "array", "items": parts.ref("Used")},
        "findings": {"type": "array", "items": parts.ref("Finding")},
        "cautions": {"type": "array", "items": parts.ref("Shown")},
        "computed_with": parts.ref("ComputedWith"),
        "sheet": {"type": "array", "items": parts.ref("FormulaLine")},
    }


def _tidy(schema: Any) -> None:
    """Drop what generators stumble over: null defaults, nullable optionals, untyped enums; leave maps open."""
    if isinstance(schema, dict):
        for prop in schema.get("properties", {}).values():
            if "default" in prop and prop["default"] in (None, [], {}, ""):
                del prop["default"]
            if "anyOf" in prop:
                rest = [p for p in prop["anyOf"] if p != {"type": "null"}]
                if len(rest) == 1:
                    del prop["anyOf"]
                    prop.update(rest[0])
            if "enum" in prop and "type" not in prop:
                prop["type"] = "string"
        for value in schema.values():
            _tidy(value)
    elif isinstance(schema, list):
        for value in schema:
            _tidy(value)


def answer_schema(calculator: Calculator, parts: Components) -> dict[str, Any]:
    """Return the schema of a calculator's whole answer: its result, and what every answer has, which stands once."""
    rest = parts.put(
        "Answered",
        {
            "type": "object",
            "description": "All that a result rests on.",
            "properties": envelope(parts),
            "required": ["basis", "findings", "cautions", "computed_with"],
        },
    )
    result = result_schema(calculator.result, parts)
    own = {
        "type": "object",
        "properties": {"calculator": {"type": "string", "const": calculator.id}, "result": result},
        "required": ["calculator", "result"],
    }
    return parts.put(
        camel(calculator.id) + "Answer",
        {"description": f"{calculator.title}: the result and all it rests on.", "allOf": [own, rest]},
    )


def flat_fields(calculator: Calculator, parts: Components) -> Iterator[FlatField]:
    """Yield the names of a calculator's flat form with the schema of their text."""
    for name, reader, required in flat.names(struct_reader(calculator.inputs)):
        if isinstance(reader, QuantityReader):
            schema = parts.text(reader.q.dimension, uncertain=reader.q.uncertain, or_share=reader.q.or_share)
            yield FlatField(name, required, schema, reader.doc, reader.q.example)
        else:
            f = getattr(reader, "f", None)
            yield FlatField(name, required, reader.schema(parts), reader.doc, f.example if f else None)
