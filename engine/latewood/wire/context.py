"""What every reader shares while one input is read: the faults found so far and what may be looked up."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, Final, Protocol

from latewood.messages import Clause, Code, Titled, Word, refusal, unread
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.quantities.units import UnitError
from latewood.quantities.with_pint import is_quantity
from latewood.wire.options import no_such_field


class _Missing:
    """The value of a field that could not be read."""

    def __repr__(self) -> str:
        return "MISSING"


MISSING: Final = _Missing()


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
        #: Names that were taken for a record: where, as sent, and the record.
        self.taken: list[tuple[str, str, Any]] = []

    def refuse(
        self, id: str, at: str, /, *, nearest: str | None = None, wanted: Clause | None = None, **values: Any
    ) -> _Missing:
        """Note one fault and return `MISSING`, so that reading goes on to the next."""
        self.faults.append(refusal(id, at, nearest=nearest, wanted=wanted, **values))
        return MISSING

    def wrong_type(self, at: str, given: Any, wanted: Clause) -> _Missing:
        """Note that a value is of the wrong JSON type."""
        return self.refuse("wrong-type", at, given=Word("json", kind_of(given)), wanted=wanted)

    def unread(self, at: str, error: UnitError, wanted: Clause | None = None) -> _Missing:
        """Note that a text is not one of its language."""
        self.faults.append(unread(error, at, wanted))
        return MISSING

    def unknown_name(self, at: str, name: str, known: Iterable[str]) -> None:
        """Note an unknown name."""
        self.faults.append(no_such_field(at, name, known, self.faults, top=at.count("/") == 1))

    def finish(self) -> None:
        """Raise what was found."""
        if self.faults:
            raise InputProblem(self.faults)

    def note_names(self, ledger: Ledger) -> None:
        """Say which record each name was taken for that is not its id."""
        for at, name, record in self.taken:
            ledger.find("name-taken", pointer=at, name=Code(name), record=Titled(record))


def kind_of(given: Any) -> str:
    """Return the word for what kind of value was sent."""
    match given:
        case None:
            return "null"
        case bool():
            return "flag"
        case int() | float():
            return "number"
        case str():
            return "text"
        case list():
            return "list"
        case _:
            return "quantity" if is_quantity(given) else "object"
