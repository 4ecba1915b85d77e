"""Addressing one value of an answer by its dotted name, as a spreadsheet cell does."""

from __future__ import annotations

import typing
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

import msgspec

from latewood.declare import Q
from latewood.messages import Code, not_found, refusal
from latewood.problems import InputProblem, NotFound, nearest
from latewood.quantities import money
from latewood.wire.structs import hints_of, is_object, unwrap
from latewood.wire.write import digits, plain

_PARTS = ("low", "high", "number", "unit")


def declared(struct: type[msgspec.Struct], prefix: str = "") -> Iterator[str]:
    """Yield the name of every output a result declares; ``<id>`` stands for an item of a list."""
    hints = hints_of(struct)
    for field in struct.__struct_fields__:
        bare, mark = unwrap(hints[field])
        name = f"{prefix}{field}"
        if isinstance(mark, Q):
            yield name
            yield from (f"{name}.{part}" for part in _PARTS)
        elif bare is money.Money:
            yield name
            yield from (f"{name}.{part}" for part in ("amount", "currency"))
        elif typing.get_origin(bare) is tuple:
            item = unwrap(typing.get_args(bare)[0])[0]
            if is_object(item):
                yield from declared(item, f"{name}.<id>.")
            else:
                yield name
        elif is_object(bare):
            yield from declared(bare, f"{name}.")
        else:
            yield name


@cache
def _known(struct: type[msgspec.Struct]) -> tuple[tuple[str, ...], ...]:
    """Return the steps of every declared name; reading the annotations anew takes longer than a calculation."""
    return tuple(tuple(name.split(".")) for name in declared(struct))


def is_declared(struct: type[msgspec.Struct], name: str) -> bool:
    """Say whether an answer of this calculator could hold a name; ids of list items pass."""
    steps = name.split(".")
    return any(
        len(pattern) == len(steps) and all(p in ("<id>", s) for p, s in zip(pattern, steps, strict=True))
        for pattern in _known(struct)
    )


def check_declared(struct: type[msgspec.Struct], name: str) -> None:
    """Raise `NotFound` for a name no answer of this calculator could hold."""
    if not is_declared(struct, name):
        raise not_found("output", name, declared(struct))


def text_of(result: Mapping[str, Any], name: str, decimal: str) -> str:
    """Return one value of a written result as text.

    A quantity is its number and unit; ``.low``, ``.high`` its P10 and P90; ``.number`` and ``.unit`` its halves.
    """
    value = _find(result, name, decimal)
    if is_quantity(value):
        return plain(value, decimal)
    if isinstance(value, Mapping):
        return f"{value['amount'].replace('.', decimal)} {value['currency']}"
    if isinstance(value, list):
        return "; ".join(str(one) for one in value)
    if isinstance(value, bool):
        return str(value).lower()
    return digits(value, decimal) if isinstance(value, int | float) else str(value)


def value_of(result: Mapping[str, Any], name: str) -> tuple[float, str] | float | str:
    """Return one value of a written result: a quantity as number and unit, anything else as it is."""
    value = _find(result, name, ".")
    if is_quantity(value):
        return value["value"], value["unit"]
    if isinstance(value, str):
        number, _, unit = value.rpartition(" ")
        return (float(number), unit) if name.endswith((".low", ".high")) else value
    if isinstance(value, Mapping):
        return f"{value['amount']} {value['currency']}"
    return value  # type: ignore[no-any-return]  # leaves of a written result are numbers and texts


def leaves(part: Any, name: str = "") -> Iterator[tuple[str, Any]]:
    """Yield each single value of a written result under the name that asks for it; quantities and money are whole."""
    if is_quantity(part) or is_money(part):
        yield name, part
    elif isinstance(part, Mapping):
        for key, inner in part.items():
            if key != "id":
                yield from leaves(inner, f"{name}.{key}" if name else key)
    elif isinstance(part, list):
        for place, inner in enumerate(part):
            label = inner.get("id", place) if isinstance(inner, Mapping) else place
            yield from leaves(inner, f"{name}.{label}")
    else:
        yield name, part


def _find(result: Mapping[str, Any], name: str, decimal: str) -> Any:
    """Follow a dotted name through a written result; items of lists go by their id, else by their place."""
    value: Any = result
    steps = name.split(".")
    for place, step in enumerate(steps):
        if is_quantity(value) and step in _PARTS:
            if value["value"] is None and step != "unit":
                break
            return _part(value, step, decimal)
        if is_money(value) and step == "amount":
            return value["amount"].replace(".", decimal)
        if isinstance(value, Mapping) and step in value:
            value = value[step]
        elif isinstance(value, Sequence) and not isinstance(value, str):
            value = _item(value, step, ".".join(steps[:place]))
        else:
            break
    else:
        if not (is_quantity(value) and value["value"] is None):
            return value
    raise InputProblem([refusal("output-not-computed", "/" + name.replace(".", "/"))])


def is_quantity(value: Any) -> bool:
    """Say whether this is a number with its unit, as results hold it."""
    return isinstance(value, Mapping) and "unit" in value and "value" in value


def is_money(value: Any) -> bool:
    """Say whether this is an amount, as results hold it."""
    return isinstance(value, Mapping) and value.keys() == {"amount", "currency"}


def _part(value: Mapping[str, Any], step: str, decimal: str) -> str:
    if step == "unit":
        return str(value["unit"])
    if step == "number":
        return digits(value["value"], decimal)
    # A quantity that is certain is its own P10 and P90.
    return plain({"value": value.get(step, value["value"]), "unit": value["unit"]}, decimal)


def _item(items: Sequence[Any], step: str, where: str) -> Any:
    by_id = {str(item.get("id", place)): item for place, item in enumerate(items)}
    if step not in by_id:
        close = nearest(step, by_id)
        raise NotFound(refusal("no-such-item", "", list=Code(where), name=Code(repr(step[:80])), nearest=close))
    return by_id[step]
