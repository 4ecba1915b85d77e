"""Readers of single values: quantities, counts, words, ids, money, lumber sizes, dates."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Protocol

from latewood.declare import F, Q, Share
from latewood.problems import nearest
from latewood.quantities import instants, lumber, money, outline, units
from latewood.quantities.units import UnitError
from latewood.uncertainty import spread
from latewood.wire.components import MAX_TEXT, Components
from latewood.wire.context import MISSING, Context

_CONTROL = re.compile(r"[\x00-\x1f\x7f\ud800-\udfff]")
_WHOLE = re.compile(r"-?[0-9]{1,15}")
#: Days that are read, as instants are: far enough from the ends of the calendar for any sum of days.
EARLIEST, LATEST = date(1900, 1, 1), date(2199, 12, 31)

#: Faults of text that a JSON Schema pattern cannot express, by the code the contract names for them.
_BEYOND_SCHEMA = {
    "bad-range": "conflict",
    "mixed-currencies": "conflict",
    "not-finite": "out-of-range",
    "too-fine": "out-of-range",
    "unknown-currency": "unknown-id",
}


class Reader(Protocol):
    """Turns one value as sent into one value as computed with."""

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        ...

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the value, or `MISSING` after noting a fault."""
        ...

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return the JSON Schema of what may be sent."""
        ...


@dataclass(frozen=True, slots=True)
class QuantityReader:
    """A physical quantity with its unit, as text or as ``{value, unit}``; a range too where it may be uncertain."""

    q: Q
    low: float
    high: float

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.q.doc

    @classmethod
    def of(cls, q: Q) -> QuantityReader:
        """Return the reader of a declared quantity, its bounds in SI."""

        def bound(limit: float | None, otherwise: float) -> float:
            if limit is None:
                return otherwise
            return units.read({"value": limit, "unit": q.unit}, q.dimension)

        return cls(q, bound(q.ge, -1e15), bound(q.le, 1e15))

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the SI value; an uncertain field's unknown is named after its place in the input."""
        q = self.q
        if q.or_share and _is_share(raw):
            found = QuantityReader.of(Q("%", q.doc, ge=0.001, le=100, example="12.5 %", uncertain=q.uncertain)).read(
                raw, at, ctx
            )
            return found if found is MISSING else Share(found)
        try:
            if not q.uncertain:
                value = units.read(raw, q.dimension, decimal=ctx.decimal, example=q.example)
                return value if self._inside(value) else self._outside(at, ctx)
            value, low, high = units.read_range(raw, q.dimension, decimal=ctx.decimal, example=q.example)
        except UnitError as error:
            code = _BEYOND_SCHEMA.get(error.code, error.code)
            expected = f"{error.expected}, or a percentage such as 12.5 %" if q.or_share else error.expected
            return ctx.fault(at, code, error.detail, expected=expected, nearest=error.nearest)
        if low is None or high is None:
            return value if self._inside(value) else self._outside(at, ctx)
        if not (self._inside(low) and self._inside(high)):
            return self._outside(at, ctx)
        even = low <= 0 or q.dimension.startswith("temperature")
        make = spread.normal if even else spread.lognormal
        unknown = make(f"input{at}", low, value, high)
        # The tails of a wide spread reach beyond what the field can mean: a loss of more than the whole.
        return spread.minimum(spread.maximum(unknown, self.low), self.high)

    def _inside(self, value: float) -> bool:
        return self.low <= value <= self.high

    def _outside(self, at: str, ctx: Context) -> Any:
        q = self.q
        low = "" if q.ge is None else f"at least {q.ge:g} {q.unit}"
        high = "" if q.le is None else f"at most {q.le:g} {q.unit}"
        limits = " and ".join(part for part in (low, high) if part) or "a number of a sensible size"
        return ctx.fault(at, "out-of-range", "the value lies outside what this field takes", expected=limits)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to the component all quantities of this dimension share."""
        return parts.quantity(self.q.dimension, uncertain=self.q.uncertain, or_share=self.q.or_share)


def _is_share(raw: Any) -> bool:
    """Say whether a quantity as sent has the unit of a percentage."""
    unit = raw.get("unit") if isinstance(raw, Mapping) else raw
    return isinstance(unit, str) and len(unit) <= MAX_TEXT and unit.rstrip(" ").endswith(units.spellings("fraction"))


@dataclass(frozen=True, slots=True)
class WholeReader:
    """A count. 2.0 is a whole number to JSON Schema, so it is one here."""

    f: F

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the int."""
        if ctx.textual and isinstance(raw, str) and _WHOLE.fullmatch(raw):
            raw = int(raw)
        if isinstance(raw, float) and raw.is_integer():
            raw = int(raw)
        if isinstance(raw, bool) or not isinstance(raw, int):
            expected = f"a whole number, such as {self.f.example or 2}"
            if isinstance(raw, float) or (ctx.textual and isinstance(raw, str)):
                return ctx.fault(at, "wrong-type", f"{raw!r:.80} is not a whole number", expected=expected)
            return ctx.wrong_type(at, raw, expected)
        low, high = self.f.ge, self.f.le
        if (low is not None and raw < low) or (high is not None and raw > high):
            return ctx.fault(
                at, "out-of-range", f"{str(raw)[:40]} was given", expected=f"a whole number {self._limits()}"
            )
        return raw

    def _limits(self) -> str:
        if self.f.ge is None or self.f.le is None:
            return f"of at least {self.f.ge}" if self.f.le is None else f"of at most {self.f.le}"
        return f"from {self.f.ge} to {self.f.le}"

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return an integer with its bounds."""
        found: dict[str, Any] = {"type": "integer"}
        if self.f.ge is not None:
            found["minimum"] = self.f.ge
        if self.f.le is not None:
            found["maximum"] = self.f.le
        return found


@dataclass(frozen=True, slots=True)
class FlagReader:
    """True or false."""

    f: F

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the bool."""
        if ctx.textual and raw in ("true", "false"):
            return raw == "true"
        return raw if isinstance(raw, bool) else ctx.wrong_type(at, raw, "true or false")

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return a boolean."""
        return {"type": "boolean"}


@dataclass(frozen=True, slots=True)
class ChoiceReader:
    """One of a few fixed words."""

    f: F
    words: tuple[str | int, ...]

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the word."""
        if ctx.textual and isinstance(raw, str) and _WHOLE.fullmatch(raw) and isinstance(self.words[0], int):
            raw = int(raw)
        if isinstance(raw, float) and raw.is_integer():
            raw = int(raw)
        if raw in self.words and not isinstance(raw, bool):
            return raw
        one_of = "one of " + ", ".join(str(word) for word in self.words)
        if isinstance(raw, int) and not isinstance(raw, bool) and isinstance(self.words[0], int):
            return ctx.fault(at, "unknown-choice", f"{str(raw)[:40]} is not known here", expected=one_of)
        if not isinstance(raw, str) or isinstance(self.words[0], int):
            return ctx.wrong_type(at, raw, one_of)
        texts = [str(word) for word in self.words]
        return ctx.fault(
            at, "unknown-choice", f"{raw[:80]!r} is not known here", expected=one_of, nearest=nearest(raw, texts)
        )

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return an enum; a single word is a constant, which every client generator understands."""
        kind = "integer" if isinstance(self.words[0], int) else "string"
        if len(self.words) == 1:
            return {"type": kind, "const": self.words[0]}
        return {"type": kind, "enum": list(self.words)}


@dataclass(frozen=True, slots=True)
class TextReader:
    """Free text within a length, without control characters."""

    f: F

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the text."""
        if not isinstance(raw, str):
            return ctx.wrong_type(at, raw, "text")
        if len(raw) > self.f.max_length:
            return ctx.fault(at, "too-long", f"{len(raw)} characters", expected=f"at most {self.f.max_length}")
        if _CONTROL.search(raw):
            return ctx.fault(at, "bad-text", "the text holds a control character", expected="printable text")
        if self.f.pattern and not re.fullmatch(self.f.pattern.removeprefix("^").removesuffix("$"), raw):
            return ctx.fault(at, "bad-text", f"{raw[:80]!r} does not have the right form", expected=self._form())
        try:
            if self.f.check is not None:
                self.f.check(raw)
        except UnitError as error:
            code = _BEYOND_SCHEMA.get(error.code, error.code)
            return ctx.fault(at, code, error.detail, expected=self._form(), nearest=error.nearest)
        return raw

    def _form(self) -> str:
        return f"text such as {self.f.example}" if self.f.example else f"text like {self.f.pattern}"

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return a string with its pattern."""
        # Half surrogates are refused before: some regular expression engines cannot name them in a class.
        pattern = self.f.pattern or "^[^\\u0000-\\u001f\\u007f]*$"
        return {"type": "string", "maxLength": self.f.max_length, "pattern": pattern}


@dataclass(frozen=True, slots=True)
class RefReader:
    """The id of a record, read into the record itself, or one of a few words that mean no record."""

    f: F
    kind: str
    words: tuple[str, ...] = ()

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return the record; an unknown or ambiguous name is a fault that lists what is meant."""
        if not isinstance(raw, str):
            return ctx.wrong_type(at, raw, f"the id of a {self.kind}, such as {self.f.example}")
        if raw in self.words:
            return raw
        if (record := ctx.shelf.find(self.kind, raw)) is not None:
            return record
        if candidates := ctx.shelf.candidates(self.kind, raw):
            what = "kinds of wood" if self.kind == "species" else f"records of {self.kind}"
            detail = f"{raw[:80]!r} may mean several {what}"
            return ctx.fault(at, "ambiguous", detail, expected="one of " + ", ".join(candidates))
        why = ctx.shelf.missing_because(self.kind, raw)
        detail = f"there is no {self.kind} {raw[:80]!r}" + (f": {why}" if why else "")
        where = " or ".join([f"an id from /v1/catalogue/{self.kind}", *self.words])
        known = [*ctx.shelf.ids(self.kind), *self.words]
        close = ctx.shelf.meant(self.kind, raw) or nearest(raw, known)
        return ctx.fault(at, "unknown-id", detail, expected=where, nearest=close)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return an open string: a plugin's new record must not change the contract."""
        return {"type": "string", "maxLength": 80, "x-catalogue": self.kind}


@dataclass(frozen=True, slots=True)
class ParsedReader:
    """Text in a small language of its own: money, a lumber size, an outline, a date."""

    f: F
    parse: Callable[[str, str], Any]
    text_schema: dict[str, Any]
    form: str

    @property
    def doc(self) -> str:
        """Meaning of the field."""
        return self.f.doc

    def read(self, raw: Any, at: str, ctx: Context) -> Any:
        """Return what the text says."""
        if not isinstance(raw, str):
            return ctx.wrong_type(at, raw, self.form)
        try:
            return self.parse(raw, ctx.decimal)
        except UnitError as error:
            code = _BEYOND_SCHEMA.get(error.code, error.code)
            return ctx.fault(at, code, error.detail, expected=error.expected or self.form, nearest=error.nearest)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return a string with the pattern of the language."""
        return {"type": "string", **self.text_schema}


def parsed_reader(hint: Any, f: F) -> ParsedReader | None:
    """Return the reader of a type that has a text language, or None."""
    if hint is money.Money:
        return ParsedReader(f, _money, {"pattern": money.PATTERN, "maxLength": 40}, "an amount such as 54.00 USD")
    if hint is lumber.Nominal:
        return ParsedReader(
            f, _lumber, {"maxLength": 40, "pattern": lumber.PATTERN}, "a size such as 5/4x6 or 21x145 mm"
        )
    if hint is instants.Moment:
        return ParsedReader(f, _moment, {"pattern": instants.PATTERN, "maxLength": 40}, instants.FORM)
    if hint is date:
        return ParsedReader(f, _date, {"format": "date"}, "a date such as 2026-05-04")
    if hint is units.Outline:
        return ParsedReader(
            f,
            _outline,
            {"pattern": units.OUTLINE_PATTERN, "maxLength": outline.MAX_OUTLINE_TEXT},
            "corner points with the unit at the end, such as 0 0, 24 0, 24 16, 0 16 ft",
        )
    return None


def _money(text: str, decimal: str) -> money.Money:
    if decimal == ",":
        if "." in text:
            raise UnitError("decimal-point", "the amount has a point, but decimal=, was asked for", "54,00 EUR")
        text = text.replace(",", ".")
    return money.read_money(text)


def _lumber(text: str, decimal: str) -> lumber.Nominal:
    return lumber.read_nominal(text.replace(",", ".") if decimal == "," else text)


def _outline(text: str, decimal: str) -> units.Outline:
    return units.Outline(tuple(units.read_outline(text, decimal=decimal)), text)


def _moment(text: str, decimal: str) -> instants.Moment:
    return instants.read_moment(text)


def _date(text: str, decimal: str) -> date:
    try:
        if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
            raise ValueError(text)
        found = date.fromisoformat(text)
    except ValueError:
        raise UnitError("bad-date", f"{text[:40]!r} is not a date", expected="a date such as 2026-05-04") from None
    if not EARLIEST <= found <= LATEST:
        raise UnitError("out-of-range", f"{text} is no day a deck is worked on", f"a day from {EARLIEST} to {LATEST}")
    return found


__all__ = [
    "MISSING",
    "ChoiceReader",
    "FlagReader",
    "ParsedReader",
    "QuantityReader",
    "Reader",
    "RefReader",
    "TextReader",
    "WholeReader",
    "parsed_reader",
]
