"""The columns a table adds: each reads its own value out of a result, and nothing else is written out."""

from __future__ import annotations

import typing
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Final

import msgspec

from latewood.declare import Calculator, Q
from latewood.messages import Code, Speaker, refusal
from latewood.problems import Fault, InputProblem, suggestion
from latewood.provenance import Number
from latewood.quantities import money, units
from latewood.wire import outputs
from latewood.wire.options import System
from latewood.wire.structs import hints_of, is_object, unwrap
from latewood.wire.write import Write, digits, writer

#: What a row has after its outputs: ids of findings and cautions, then what was wrong with it.
ABOUT: Final = ("findings", "cautions", "error", "error_code", "error_pointer")


@dataclass(frozen=True, slots=True)
class Shown:
    """One value of a result and the columns it fills: a quantity has its median, low and high in one go."""

    path: tuple[str, ...]
    write: Write
    parts: tuple[str, ...]
    headers: tuple[str, ...]

    def cells(self, result: Any, speaker: Speaker, decimal: str) -> tuple[list[str], bool]:
        """Return the texts, and whether a quantity could not be computed. What the result lacks is left blank."""
        value = _follow(result, self.path)
        if value is None:
            return [""] * len(self.parts), False
        written = self.write(value, speaker)
        lost = isinstance(written, dict) and written.get("value", written) is None
        return [_text(written, part, decimal) for part in self.parts], lost


def _follow(value: Any, path: Sequence[str]) -> Any:
    for step in path:
        if value is None:
            return None
        value = _item(value, step) if isinstance(value, tuple) else getattr(value, step)
    return value


def _item(items: Sequence[Any], step: str) -> Any:
    """Return an item by its id, else by its place, as in a cell's address."""
    return next((item for place, item in enumerate(items) if str(getattr(item, "id", place)) == step), None)


def _text(written: Any, part: str, decimal: str) -> str:
    if not isinstance(written, dict):
        return outputs.text_of({"value": written}, "value", decimal)
    if part == "unit" or part == "currency":
        return str(written[part])
    if "currency" in written:
        amount = written["amount"].replace(".", decimal)
        return amount if part == "amount" else f"{amount} {written['currency']}"
    # A quantity that is certain is its own P10 and P90.
    return digits(written.get(part, written["value"]), decimal)


def columns(calculator: Calculator, names: Sequence[str] | None, system: System) -> list[Shown]:
    """Return the columns of the named outputs, or of all that are single values; raise `InputProblem` for others."""
    if names is None:
        return list(_joined(_column(calculator, name, system) for name in scalars(calculator.result)))
    faults: list[Fault] = []
    seen: set[str] = set()
    for name in names:
        given = Code(repr(name[:80]))
        if not outputs.is_declared(calculator.result, name):
            close = suggestion(name, outputs.declared(calculator.result), faults)
            faults.append(refusal("no-such-output", "/outputs", name=given, nearest=close))
        if name in seen:
            faults.append(refusal("output-twice", "/outputs", name=given))
        seen.add(name)
    if faults:
        raise InputProblem(faults)
    return list(_joined(_column(calculator, name, system) for name in names))


def scalars(struct: type[msgspec.Struct], prefix: str = "") -> list[str]:
    """Return the outputs that are single values: low and high of what can be uncertain, amount and currency."""
    hints = hints_of(struct)
    found: list[str] = []
    for field in struct.__struct_fields__:
        bare, mark = unwrap(hints[field])
        name = f"{prefix}{field}"
        if isinstance(mark, Q):
            found += [name, f"{name}.low", f"{name}.high"] if bare == Number else [name]
        elif bare is money.Money:
            found += [f"{name}.amount", f"{name}.currency"]
        elif typing.get_origin(bare) is tuple:
            item = unwrap(typing.get_args(bare)[0])[0]
            if not is_object(item):
                found.append(name)
        elif is_object(bare):
            found += scalars(bare, f"{name}.")
        else:
            found.append(name)
    return found


def _column(calculator: Calculator, name: str, system: System) -> Shown:
    hint: Any = calculator.result
    steps = name.split(".")
    for place, step in enumerate(steps):
        bare, mark = unwrap(hint)
        if isinstance(mark, Q) or bare is money.Money:
            return _one(tuple(steps[:place]), hint, step, name, system)
        # An id of an item is not known before there is a result.
        hint = typing.get_args(bare)[0] if typing.get_origin(bare) is tuple else hints_of(bare)[step]
    return _one(tuple(steps), hint, "value", name, system)


def _one(path: tuple[str, ...], hint: Any, part: str, name: str, system: System) -> Shown:
    mark = unwrap(hint)[1]
    header = name
    if isinstance(mark, Q) and part in ("value", "low", "high", "number"):
        unit = mark.unit if system == "metric" else units.us_of(mark.unit, mark.dimension)
        header = f"{name} [{unit}]"
    return Shown(path, writer(hint), ("value" if part == "number" else part,), (header,))


def _joined(found: Iterable[Shown]) -> Iterator[Shown]:
    """Yield the columns, those of one value together where they stand together."""
    last: Shown | None = None
    for one in found:
        if last is not None and last.path == one.path:
            last = Shown(last.path, last.write, last.parts + one.parts, last.headers + one.headers)
            continue
        if last is not None:
            yield last
        last = one
    if last is not None:
        yield last
