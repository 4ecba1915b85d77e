"""What every reader shares while one input is read: the faults found so far and what may be looked up."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final, Protocol

from latewood.problems import Fault, InputProblem, nearest
from latewood.quantities.units import UnitError
from latewood.wire.options import CHOICES

#: Looking for the nearest name takes a while; a body of 80 000 unknown names must not hold everyone else up.
MAX_SUGGESTIONS: Final = 100


class _Missing:
    """The value of a field that could not be read."""

    def __repr__(self) -> str:
        return "MISSING"


MISSING: Final = _Missing()

#: Faults of text that a JSON Schema pattern cannot express, by the code the contract names for them.
BEYOND_SCHEMA: Final = {
    "bad-range": "conflict",
    "mixed-currencies": "conflict",
    "not-finite": "out-of-range",
    "too-fine": "out-of-range",
    "unknown-currency": "unknown-id",
}


class Registry(Protocol):
    """Where ids are looked up."""

    def find(self, kind: str, id: str) -> Any | None:
        """Return the record, or None."""
        ...

    def ids(self, kind: str) -> Iterable[str]:
        """Return the ids of a kind."""
        ...

    def candidates(self, kind: str, name: str) -> list[str]:
        """Return what an ambiguous name may mean, empty where the name is not a known ambiguous one."""
        ...

    def meant(self, kind: str, name: str) -> str | None:
        """Return the id of the one record that goes by this name, however it is written."""
        ...

    def missing_because(self, kind: str, id: str) -> str | None:
        """Name the plugin that would have brought this id, had it not been left out."""
        ...


class Context:
    """Collects faults; holds the decimal mark asked for and whether scalars arrive as text."""

    def __init__(self, shelf: Registry, *, decimal: str = ".", textual: bool = False) -> None:
        self.shelf = shelf
        self.decimal = decimal
        self.textual = textual
        self.faults: list[Fault] = []

    def fault(
        self, at: str, code: str, detail: str, *, expected: str | None = None, nearest: str | None = None
    ) -> _Missing:
        """Note one fault and return `MISSING`, so that reading goes on to the next."""
        self.faults.append(Fault(pointer=at, code=code, detail=detail, expected=expected, nearest=nearest))
        return MISSING

    def wrong_type(self, at: str, given: Any, expected: str) -> _Missing:
        """Note that a value is of the wrong JSON type."""
        return self.fault(at, "wrong-type", f"{kind_of(given)} was given", expected=expected)

    def unread(self, at: str, error: UnitError, expected: str | None) -> _Missing:
        """Note that a text is not one of its language."""
        code = BEYOND_SCHEMA.get(error.code, error.code)
        return self.fault(at, code, error.detail, expected=expected, nearest=error.nearest)

    def unknown_name(self, at: str, name: str, known: Iterable[str]) -> None:
        """Note an unknown name."""
        close = nearest(name, known) if len(self.faults) < MAX_SUGGESTIONS else None
        detail = f"there is no field {name[:80]!r} here"
        if name in CHOICES:
            detail += "; it is an option, which is given apart from the fields"
        self.fault(at, "unknown-field", detail, nearest=close)

    def finish(self) -> None:
        """Raise what was found."""
        if self.faults:
            raise InputProblem(self.faults)


def kind_of(given: Any) -> str:
    """Name a JSON value's type for people."""
    match given:
        case None:
            return "null"
        case bool():
            return "true or false"
        case int() | float():
            return "a bare number"
        case str():
            return "text"
        case list():
            return "a list"
        case _:
            return "an object"
