"""Writing results: SI in, the asked units out, nine significant digits, never NaN."""

from __future__ import annotations

import math
import typing
from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from typing import Any

import msgspec

from latewood.declare import Packs, Q
from latewood.messages import Clause, Speaker
from latewood.quantities import lumber, money, units
from latewood.uncertainty.spread import Uncertain
from latewood.wire.components import Components
from latewood.wire.options import System
from latewood.wire.structs import component_name, hints_of, is_object, unwrap

Write = Callable[[Any, Speaker], Any]


def quantity(value: Any, q: Q, system: System) -> dict[str, Any]:
    """Return ``{value, unit}``, with ``low`` and ``high`` where uncertain; null for what is not a number."""
    unit = q.unit if system == "metric" else units.us_of(q.unit, q.dimension)
    if isinstance(value, Uncertain):
        numbers: dict[str, Any] = {"value": value.value, "low": value.low, "high": value.high}
    else:
        numbers = {"value": float(value)}
    if not all(map(math.isfinite, numbers.values())):
        return {"value": None, "unit": unit}
    for name, number in numbers.items():
        numbers[name] = units.show(number, unit, q.dimension)
    numbers["unit"] = unit
    return numbers


@cache
def writer(hint: Any) -> Write:
    """Return the function that writes values of one annotated type."""
    bare, mark = unwrap(hint)
    if isinstance(mark, Q):
        return lambda value, speaker: quantity(value, mark, speaker.style.system)
    if bare is Clause:
        return lambda value, speaker: speaker.clause(value)
    if bare is money.Money:
        return lambda value, speaker: money.show_money(value)
    if bare is lumber.Nominal:
        return lambda value, speaker: value.text
    if bare is Packs:
        return lambda value, speaker: speaker.packs(value.rows)
    if bare is date:
        return lambda value, speaker: value.isoformat()
    if bare is datetime:
        return lambda value, speaker: value.isoformat(timespec="seconds")
    if typing.get_origin(bare) is tuple:
        item = writer(typing.get_args(bare)[0])
        return lambda value, speaker: [item(one, speaker) for one in value]
    if hasattr(bare, "KIND"):
        return lambda value, speaker: value.id
    if is_object(bare):
        return struct_writer(bare)
    return lambda value, speaker: value


@cache
def struct_writer(struct: type[msgspec.Struct]) -> Write:
    """Return the function that writes a struct; a field that is None is left out."""
    hints = hints_of(struct)
    fields = [(name, writer(hints[name])) for name in struct.__struct_fields__]

    def write(value: Any, speaker: Speaker) -> dict[str, Any]:
        return {name: one(part, speaker) for name, one in fields if (part := getattr(value, name)) is not None}

    return write


def answer_schema(struct: type[msgspec.Struct], parts: Components) -> dict[str, Any]:
    """Refer to the open schema of a result struct."""
    name = component_name(struct)
    if parts.claim(name, (struct, "answer")):
        hints = hints_of(struct)
        properties = {}
        required = []
        for f in msgspec.structs.fields(struct):
            schema = _schema(hints[f.name], parts)
            bare, mark = unwrap(hints[f.name])
            doc = getattr(mark, "doc", None) or (getattr(bare, "__doc__", None) or "").split("\n")[0]
            properties[f.name] = (
                {"allOf": [schema], "description": doc} if "$ref" in schema else {**schema, "description": doc}
            )
            if f.required:
                required.append(f.name)
        parts.found[name] = {
            "type": "object",
            "description": (struct.__doc__ or "").strip().split("\n")[0],
            "properties": properties,
        }
        if required:
            parts.found[name]["required"] = required
    return parts.ref(name)


def _schema(hint: Any, parts: Components) -> dict[str, Any]:
    bare, mark = unwrap(hint)
    if isinstance(mark, Q):
        return parts.answer(mark.dimension)
    if bare is money.Money:
        return parts.money()
    if bare is date:
        return {"type": "string", "format": "date"}
    if bare is datetime:
        return {"type": "string", "format": "date-time"}
    if typing.get_origin(bare) is tuple:
        return {"type": "array", "items": _schema(typing.get_args(bare)[0], parts)}
    if is_object(bare):
        return answer_schema(bare, parts)
    simple = {bool: "boolean", int: "integer", float: "number", Decimal: "string"}
    return {"type": simple.get(bare, "string")}


def plain(number: dict[str, Any], system_decimal: str = ".") -> str:
    """Return a written quantity as text: the number and its unit."""
    return f"{digits(number['value'], system_decimal)} {number['unit']}"


def digits(value: float | int | None, decimal: str = ".") -> str:
    """Return a number with up to nine significant digits and the decimal mark asked for."""
    if value is None:
        return ""
    text = str(value) if isinstance(value, int) else f"{value:.9g}"
    return text.replace(".", decimal)


__all__ = ["System", "answer_schema", "digits", "plain", "quantity", "struct_writer", "writer"]
