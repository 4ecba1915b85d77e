"""What an answer carries beside its numbers: basis, findings, cautions."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

import msgspec

from latewood.messages import Clause, Prose, Severity
from latewood.provenance.sourced import Evidence
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Danger = Literal["caution", "warning", "danger"]


class SIValue(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A number as it was computed with, in SI."""

    value: float
    unit: str
    low: float | None = None
    high: float | None = None

    @classmethod
    def of(cls, number: Number, unit: str) -> SIValue:
        """Return the median of a number, and its ends where it has a spread."""
        if not isinstance(number, spread.Uncertain):
            return cls(value=float(number), unit=unit)
        return cls(value=spread.value(number), low=spread.low(number), high=spread.high(number), unit=unit)


class Used(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One line of an answer's basis: a number or a choice it rests on, and where that came from."""

    path: str
    given: str
    kind: Evidence
    si: SIValue | None = None
    source: str | None = None
    where: str | None = None
    note: str | None = None
    used_by: tuple[str, ...] = ()
    #: The language of what its record says, where that is not the one asked for.
    language: str | None = None


class Reasoned(Used, frozen=True, kw_only=True, omit_defaults=True):
    """A line of the basis of which something is a clause, by its field: it is written with the answer."""

    clauses: dict[str, Clause]


class Remarked(Used, frozen=True, kw_only=True, omit_defaults=True):
    """A line of the basis with a record's number, and what its note is made of."""

    remarks: tuple[Clause, ...]


class Finding(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something the reader of an answer must know about it."""

    id: str
    severity: Severity
    message: str
    pointer: str | None = None
    params: dict[str, Any] = {}
    values: dict[str, Any] = {}
    #: Of a plan the ids of the components it is about.
    places: tuple[str, ...] = ()
    #: The language of the message, where that is not the one asked for.
    language: str | None = None
    step: str | None = None
    #: All the steps that say so, where there are several.
    steps: tuple[str, ...] = ()


class Raised(msgspec.Struct, frozen=True, kw_only=True):
    """A finding as a calculation raised it: the id of its text and typed values; the text is written with the answer.

    ``text`` is the id of a message, or the prose of a record.
    """

    id: str
    severity: Severity
    text: str | Prose
    values: Mapping[str, Any] = {}
    pointer: str | None = None
    params: dict[str, Any] = {}
    places: tuple[str, ...] = ()
    step: str | None = None


class Shown(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A caution as an answer carries it."""

    id: str
    severity: Danger
    #: Hazard and effect in a few words.
    title: str
    #: Place among cautions of one severity, the worst first.
    rank: int
    message: str
    #: What to do at the least, the most protective line first: two lines at most.
    brief: tuple[str, ...]
    do: tuple[str, ...]
    source: str
    places: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    #: The language of the texts, where that is not the one asked for.
    language: str | None = None
