"""How a calculation is declared: its fields, its formulas, the calculator itself.

A field is written ``area: Annotated[float, Q("m2", "Area to coat", ge=0, le=1e5, example="320 ft2")]``. The type
checker and the formula see an SI float; wire type, schema, table column, docs and error text come from the ``Q``.
"""

from __future__ import annotations

import inspect
import math
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol, TypeVar

import msgspec

from latewood.blame import OWN
from latewood.messages import Texts
from latewood.provenance import Ledger, Number
from latewood.provenance.formula import Formula, Symbol, formula
from latewood.quantities.spellings import dimension_of


@dataclass(frozen=True, slots=True)
class Q:
    """A quantity field: the unit it is declared in, its meaning, and its range in that unit.

    ``uncertain`` fields also take a range ("8-12 m2/L", read as P10 to P90) and reach the calculator as a `Number`.
    ``or_share`` fields also take a percentage by weight, and then reach it as a `Share`.
    """

    unit: str
    doc: str
    ge: float | None = None
    le: float | None = None
    example: str | None = None
    uncertain: bool = False
    or_share: bool = False
    dimension: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "dimension", self.dimension or dimension_of(self.unit))


@dataclass(frozen=True, slots=True)
class Share:
    """A percentage sent where a weight in a volume is declared: only a density turns the one into the other."""

    number: Number


@dataclass(frozen=True, slots=True)
class F:
    """Any other field: its meaning, and the limits of its whole number, text or list.

    ``check`` looks a text up in a list too long or too changeable for a pattern; it raises `UnitError`. ``names`` is
    a kind of record with a ``code``, which each of its names stands for; small letters, spaces and hyphens of a code
    do not count then.
    """

    doc: str
    ge: int | None = None
    le: int | None = None
    pattern: str | None = None
    max_length: int = 80
    max_items: int = 1000
    example: Any = None
    check: Callable[[str], object] | None = None
    names: str | None = None


def meanings(**fields: F) -> dict[str, str]:
    """Return the meanings of parameters that are declared by themselves, in no struct."""
    return {name: field.doc for name, field in fields.items()}


@dataclass(frozen=True, slots=True)
class Packs:
    """Containers in one line, such as ``2 × 3.785 L``: counts and sizes; units are chosen when it is written."""

    rows: tuple[tuple[int, float], ...]


class RecordLookup(Protocol):
    """What a running calculation may look up."""

    def record(self, kind: str, id: str) -> Any:
        """Return a record that is certain to exist."""
        ...

    def records(self, kind: str) -> Mapping[str, Any]:
        """Return all records of a kind by id."""
        ...

    def model(self, kind: str, name: str) -> Any:
        """Return the function of a named model."""
        ...


class Shelf(RecordLookup, Protocol):
    """What an answer looks up: records, and the texts it is written in."""

    @property
    def texts(self) -> Texts:
        """The texts of the engine and its plugins."""
        ...


@dataclass(frozen=True, slots=True)
class Cost:
    """What one answer takes at most: seconds of one processor, for a request of at most so many bytes.

    The first answer to such a request is included. It is declared where the dearest were tried
    (``python -m tests.bench.costs``), and says which answers may be given beside others and which may not.
    """

    seconds: float
    size: int


I_ = TypeVar("I_", bound=msgspec.Struct)
O_ = TypeVar("O_", bound=msgspec.Struct)


@dataclass(frozen=True)
class Calculator:
    """A named calculation, from which routes, schema, docs, tables and commands are all made."""

    id: str
    title: str
    question: str
    function: Callable[[Any, Ledger, RecordLookup], Any]
    inputs: type[msgspec.Struct]
    result: type[msgspec.Struct]
    since: str
    formulas: tuple[Formula, ...] = ()
    example: Mapping[str, Any] = field(default_factory=dict)
    plugin: str = OWN
    #: What is known of its cost; without any it may take any time.
    costs: tuple[Cost, ...] = ()
    #: What an assumption may move: its id in the words of outputs, and the dotted place in a result.
    outputs: Mapping[str, str] = field(default_factory=dict)

    def most(self, size: int) -> float:
        """Return the seconds of one processor that the answer to a request of so many bytes takes at most."""
        return min((cost.seconds for cost in self.costs if size <= cost.size), default=math.inf)


def calculator(
    id: str,
    title: str,
    *,
    since: str,
    example: Mapping[str, Any],
    formulas: tuple[Formula, ...] = (),
    costs: tuple[Cost, ...] = (),
    outputs: Mapping[str, str] | None = None,
) -> Callable[[Callable[[I_, Ledger, RecordLookup], O_]], Calculator]:
    """Turn ``def f(x: Inputs, ledger: Ledger, known: Known) -> Result`` into a `Calculator`."""

    def wrap(function: Callable[[I_, Ledger, RecordLookup], O_]) -> Calculator:
        hints = typing.get_type_hints(function)
        inputs = hints[next(iter(inspect.signature(function).parameters))]
        doc = (inspect.getdoc(function) or "").strip()
        # The contract names their schemas after the calculator, wherever they are written.
        for struct in (inputs, hints["return"]):
            struct.CALCULATOR = id
        return Calculator(
            id,
            title,
            doc,
            function,
            inputs,
            hints["return"],
            since,
            formulas,
            example,
            costs=costs,
            outputs=outputs or {},
        )

    return wrap


__all__ = [
    "Calculator",
    "Cost",
    "F",
    "Formula",
    "Packs",
    "Q",
    "RecordLookup",
    "Shelf",
    "Symbol",
    "calculator",
    "dimension_of",
    "formula",
]
