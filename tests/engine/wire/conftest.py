"""A small form with one field of every kind, and a shelf of three invented woods to read it against."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, ClassVar, Literal

import msgspec
import pytest

from latewood.declare import F, Q, Share
from latewood.problems import Fault, InputProblem, same_name
from latewood.quantities.lumber import Nominal
from latewood.quantities.money import Money
from latewood.quantities.units import Outline
from latewood.uncertainty.spread import Number
from latewood.wire import Context, flat, struct_reader


@dataclass(frozen=True)
class Wood:
    """A record as far as reading is concerned."""

    KIND: ClassVar[str] = "species"
    id: str


class Nail(msgspec.Struct, frozen=True, kw_only=True):
    """An object within a list."""

    id: Annotated[str, F("Name of the nail", pattern="^[a-z]+$", example="brad")]
    length: Annotated[float, Q("mm", "Length", ge=0, le=300, example="2 in")] | None = None


class Place(msgspec.Struct, frozen=True, kw_only=True):
    """An object within the form."""

    LATER: ClassVar[frozenset[str]] = frozenset({"slope"})

    height: Annotated[float, Q("m", "Height above ground", ge=-10, le=100, example="3 m")]
    name: Annotated[str, F("What people call it", max_length=12)] | None = None


class Form(msgspec.Struct, frozen=True, kw_only=True):
    """One field of every kind."""

    length: Annotated[float, Q("m", "Length of the board", ge=0.1, le=100, example="12 ft")]
    rate: Annotated[Number, Q("m2/L", "Spreading rate", ge=0.1, le=100, example="8-12 m2/L", uncertain=True)] | None = (
        None
    )
    warmth: Annotated[Number, Q("degC", "Temperature", ge=-50, le=60, example="18 degC", uncertain=True)] | None = None
    loss: Annotated[Number, Q("%", "Loss", ge=0, le=95, example="10-15 %", uncertain=True)] | None = None
    strength: (
        Annotated[
            Number | Share,
            Q("g/L", "Strength", ge=0.1, le=400, example="30 g/L", uncertain=True, or_share=True),
        ]
        | None
    ) = None
    count: Annotated[int, F("How many", ge=1, le=5, example=2)] | None = None
    wet: Annotated[bool, F("Whether it is wet")] | None = None
    finish: Annotated[Literal["matt", "gloss"], F("Sheen")] | None = None
    version: Annotated[Literal[1, 2], F("Version")] | None = None
    note: Annotated[str, F("Remark", max_length=10)] | None = None
    wood: Annotated[Wood, F("Wood", example="ipe")] | None = None
    price: Annotated[Money, F("Price")] | None = None
    size: Annotated[Nominal, F("Board size")] | None = None
    outline: Annotated[Outline, F("Corner points")] | None = None
    day: Annotated[date, F("Day")] | None = None
    place: Place | None = None
    nails: Annotated[tuple[Nail, ...], F("Nails", max_items=3)] = ()
    tags: Annotated[tuple[str, ...], F("Words", max_length=5, max_items=3)] = ()


class FakeShelf:
    """Three woods, and a word that may mean two of them."""

    woods: Mapping[str, Wood] = {name: Wood(name) for name in ("ipe", "larch", "red-cedar")}

    def find(self, kind: str, id: str) -> Any | None:
        return self.woods.get(id) if kind == "species" else None

    def ids(self, kind: str) -> Iterable[str]:
        return self.woods

    def candidates(self, kind: str, name: str) -> list[str]:
        return ["red-cedar", "white-cedar (not on this shelf)"] if name == "cedar" else []

    def meant(self, kind: str, name: str) -> str | None:
        called = {same_name(id): id for id in self.woods} | {"arborvitae": "red-cedar"}
        return called.get(same_name(name))

    def missing_because(self, kind: str, id: str) -> str | None:
        return "plugin oakery would bring it but was left out (it is broken)" if id == "oak" else None


Read = Callable[..., Any]


def _form(raw: object, *, decimal: str = ".", textual: bool = False, struct: type = Form) -> Any:
    ctx = Context(FakeShelf(), decimal=decimal, textual=textual)
    value = struct_reader(struct).read(raw, "", ctx)
    ctx.finish()
    return value


@pytest.fixture(scope="session")
def form() -> type[Form]:
    return Form


@pytest.fixture(scope="session")
def shelf() -> FakeShelf:
    return FakeShelf()


@pytest.fixture(scope="session")
def read() -> Read:
    """Read a JSON form; a required length is supplied where only other fields are of interest."""

    def fields(given: object = None, /, *, decimal: str = ".", **more: Any) -> Any:
        raw = {"length": "1 m", **more} if given is None else given
        return _form(raw, decimal=decimal)

    return fields


@pytest.fixture(scope="session")
def read_flat() -> Read:
    """Read a form given as name=value pairs."""

    def pairs(*given: tuple[str, str], decimal: str = ".") -> Any:
        ctx = Context(FakeShelf(), decimal=decimal, textual=True)
        raw = flat.tree(given, struct_reader(Form), ctx.faults)
        value = struct_reader(Form).read(raw, "", ctx)
        ctx.finish()
        return value

    return pairs


@pytest.fixture(scope="session")
def faults() -> Callable[..., list[Fault]]:
    """Return the faults a reading raises."""

    def raised(reading: Read, *given: Any, **more: Any) -> list[Fault]:
        with pytest.raises(InputProblem) as problem:
            reading(*given, **more)
        return list(problem.value.faults)

    return raised


@pytest.fixture(scope="session")
def fault(faults: Callable[..., list[Fault]]) -> Callable[..., Fault]:
    """Return the only fault a reading raises."""

    def only(reading: Read, *given: Any, **more: Any) -> Fault:
        (one,) = faults(reading, *given, **more)
        return one

    return only
