"""All a plugin brings is called once before it is used: models with values of their kind, calculators as declared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final, Protocol

import msgspec

from latewood.answers import answer
from latewood.declare import Calculator, Shelf
from latewood.plugin.loader import BadPlugin, LoadedPlugin, Tell
from latewood.plugin.shapes import BadResult, try_model
from latewood.problems import InputProblem
from latewood.quantities import number_text
from latewood.wire import Components, Context, Registry, options, schema, struct_reader
from latewood.wire.options import System
from latewood.wire.quantity_reader import QuantityReader

_SYSTEMS: Final[tuple[System, ...]] = ("metric", "us")
#: The ends of the range that an uncertain field is given, beside its example.
_ENDS: Final = (0.95, 1.05)


class Known(Shelf, Registry, Protocol):
    """What an example is answered from."""


def try_models(loaded: LoadedPlugin, tell: Tell) -> None:
    """Call each of its models; raise `BadPlugin` for the first that does not answer as its kind does."""
    for model in loaded.models:
        tell(loaded.name, f"its model {model.kind}/{model.name}")
        try:
            try_model(model)
        except BadResult as wrong:
            raise BadPlugin(f"model {model.kind}/{model.name}, {wrong}") from wrong


def try_calculator(loaded: LoadedPlugin, calculator: Calculator, shelf: Known, tell: Tell) -> None:
    """Declare it to the contract, and have it answer its own example, also with ranges where it takes them."""
    tell(loaded.name, f"its calculator {calculator.id}")
    try:
        parts = Components()
        list(schema.flat_fields(calculator, parts))
        schema.request_schema(calculator, parts)
        schema.answer_schema(calculator, parts)
    except Exception as error:
        told = f"{type(error).__name__}: {error}"
        raise BadPlugin(f"calculator {calculator.id}: its declaration cannot be written: {told}") from error
    for system in _SYSTEMS:
        _call(calculator, calculator.example, shelf, system)
    for ranged in _ranges(calculator):
        try:
            _call(calculator, ranged, shelf, "metric")
        except _Refused:
            continue


class _Refused(BadPlugin):
    """It refuses what it was asked."""


def _call(calculator: Calculator, asked: Mapping[str, Any], shelf: Known, system: System) -> None:
    choice = options.Options(units=system, working=True)
    start = f"calculator {calculator.id}: its own example fails: "
    try:
        found = answer(calculator, dict(asked), Context(shelf), choice, shelf)
        msgspec.json.encode(found)
    except InputProblem as refused:
        raise _Refused(f"{start}{refused}") from refused
    except Exception as error:
        raise BadPlugin(f"{start}{type(error).__name__}: {error}") from error
    lost = [finding["pointer"] for finding in msgspec.to_builtins(found["findings"]) if finding["id"] == "not-computed"]
    if lost:
        raise BadPlugin(f"{start}{', '.join(lost)} is not a number (NaN)")


def _ranges(calculator: Calculator) -> Iterator[dict[str, Any]]:
    """Yield the example with a range in each field that may be uncertain."""
    for name, entry in struct_reader(calculator.inputs).entries.items():
        given = calculator.example.get(name)
        if isinstance(entry.reader, QuantityReader) and entry.reader.q.uncertain and isinstance(given, str):
            found = number_text.split_point(given)
            if found is not None and found[0] > 0:
                low, high = (f"{found[0] * end:.6g} {found[1]}" for end in _ENDS)
                yield {**calculator.example, name: f"{low} to {high}"}
