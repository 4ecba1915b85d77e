"""Values a message carries. Each knows its kind; how it is written for people is decided when the answer is written."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any, ClassVar

import msgspec

from latewood.messages.measures import BY_DIMENSION, MEASURES, Measure, unit_of
from latewood.quantities import units
from latewood.quantities.scales import show
from latewood.quantities.spellings import dimension_of


class Count(int):
    """A number of things."""

    __slots__ = ()
    kind: ClassVar[str] = "count"


class Number(float):
    """A number without a unit, such as a ratio."""

    __slots__ = ()
    kind: ClassVar[str] = "number"


class Name(str):
    """What the caller called something: a zone, a step. Shown as it was given."""

    __slots__ = ()
    kind: ClassVar[str] = "name"


class Code(str):
    """Text that is the same in every language: a jurisdiction, a nominal size, a category of a rule."""

    __slots__ = ()
    kind: ClassVar[str] = "code"


class Word(str):
    """A word of a vocabulary of this engine (part, field, surface): the id; its label comes from the language."""

    __slots__ = ("of",)
    kind: ClassVar[str] = "word"
    of: str

    def __new__(cls, of: str, id: str) -> Word:
        """Return the word of this id in a vocabulary."""
        self = super().__new__(cls, id)
        self.of = of
        return self

    def __reduce__(self) -> tuple[type[Word], tuple[str, str]]:
        return Word, (self.of, str(self))


class Titled(str):
    """A record, named by its title in the language asked for."""

    __slots__ = ("record",)
    kind: ClassVar[str] = "record"
    record: Any

    def __new__(cls, record: Any) -> Titled:
        """Return the name of a record."""
        self = super().__new__(cls, record.id)
        self.record = record
        return self


class Prose(msgspec.Struct, frozen=True):
    """A text that stands in a record: its kind, its id, the field, and the words as the record has them."""

    record: str
    id: str
    field: str
    text: str
    kind: ClassVar[str] = "prose"


class Moment(msgspec.Struct, frozen=True):
    """An instant of local time, or a day."""

    at: datetime | date
    kind: ClassVar[str] = "moment"


class Between(msgspec.Struct, frozen=True):
    """A range: both ends are of one kind, and the unit is written once."""

    low: Measure
    high: Measure
    kind: ClassVar[str] = "between"


class Limit(msgspec.Struct, frozen=True):
    """A limit as a rule states it: its own unit stands first, the one asked for beside it."""

    given: str
    measure: Measure
    kind: ClassVar[str] = "limit"


class Clause(msgspec.Struct, frozen=True):
    """Part of a sentence: an id and its own values, joined only when it is written."""

    id: str
    values: Mapping[str, Any] = {}
    kind: ClassVar[str] = "clause"


class Brief(Clause, frozen=True):
    """What a finding says, in short: its first sentence as part of another, without the part of the deck it names."""


def clause(id: str, /, **values: Any) -> Clause:
    """Return a clause; its values are named like those of a finding."""
    return Clause(id, values)


KINDS = frozenset(
    {*MEASURES, "count", "number", "name", "code", "word", "record", "prose", "moment", "between", "limit", "clause"}
    | {"any"}
)


def literal(text: str) -> Measure | None:
    """Return the quantity that text such as ``125 mm`` states, None where it states none."""
    number, _, unit = text.strip().rpartition(" ")
    if not number:
        return None
    try:
        dimension = dimension_of(unit)
        return BY_DIMENSION[dimension](units.read(text, dimension))
    except (ValueError, KeyError):
        return None


def data(value: Any, system: str) -> Any:
    """Return a value, or values by name, as JSON carries it: quantities with their unit, else ids and numbers."""
    if isinstance(value, Mapping):
        return {name: data(one, system) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [data(one, system) for one in value]
    if isinstance(value, Measure):
        unit = unit_of(value.kind, system)
        return {"value": show(value, unit, value.dimension), "unit": unit}
    if isinstance(value, Between):
        low, high = data(value.low, system), data(value.high, system)
        return {"low": low["value"], "high": high["value"], "unit": low["unit"]}
    if isinstance(value, Limit):
        return {**data(value.measure, system), "given": value.given}
    if isinstance(value, Clause):
        return {"id": value.id, **({"values": data(value.values, system)} if value.values else {})}
    if isinstance(value, Moment):
        return value.at.isoformat(timespec="minutes") if isinstance(value.at, datetime) else value.at.isoformat()
    if isinstance(value, Titled):
        return {"kind": value.record.KIND, "id": str(value)}
    if isinstance(value, Prose):
        return {"kind": value.record, "id": value.id, "field": value.field}
    if isinstance(value, Count):
        return int(value)
    if isinstance(value, Number):
        return float(f"{value:.9g}")
    return str(value) if isinstance(value, str) else value
