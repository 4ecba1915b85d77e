"""Running a calculator, and again with other values of what was assumed, to say what those would change."""

from __future__ import annotations

from functools import cache
from typing import Any

import msgspec

from latewood.declare import Calculator, RecordLookup
from latewood.provenance import HERE, Ledger, Number
from latewood.wire.structs import hints_of, unwrap


def run(calculator: Calculator, inputs: Any, ledger: Ledger, known: RecordLookup) -> Any:
    """Return the result. What an assumption moves is computed again, with every number at its median."""

    def result(x: Any) -> Any:
        return calculator.function(x, ledger.aside(), known)

    here = cache(lambda: result(inputs))

    def again(field: str, output: str, value: Any) -> Number | None:
        found = here() if value is HERE else result(replaced(inputs, field, value))
        return read(found, calculator.outputs[output])

    ledger.again = again
    return calculator.function(inputs, ledger, known)


def read(result: Any, place: str) -> Number | None:
    """Return the number at a dotted place of a result; None where there is none."""
    for name in place.split("."):
        result = None if result is None else getattr(result, name)
    number: Number | None = result
    return number


def replaced(struct: Any, field: str, value: Any) -> Any:
    """Return inputs with another value at a dotted place."""
    name, _, rest = field.partition(".")
    if isinstance(struct, tuple):
        at = int(name)
        return (*struct[:at], replaced(struct[at], rest, value), *struct[at + 1 :])
    if rest:
        held = getattr(struct, name)
        if held is None:
            held = unwrap(hints_of(struct.__class__)[name])[0]()
        value = replaced(held, rest, value)
    return msgspec.structs.replace(struct, **{name: value})
