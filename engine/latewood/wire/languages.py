"""Readers of texts in small languages of their own: money, lumber sizes, outlines, moments, dates."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from latewood.declare import F
from latewood.messages import Clause, clause, in_english
from latewood.quantities import instants, lumber, money, outline, units
from latewood.quantities.units import UnitError
from latewood.wire.components import Components
from latewood.wire.context import Context

#: Days that are read, as instants are: far enough from the ends of the calendar for any sum of days.
EARLIEST, LATEST = date(1900, 1, 1), date(2199, 12, 31)


@dataclass(frozen=True, slots=True)
class ParsedReader:
    """Text in a small language of its own: money, a lumber size, an outline, a date.

    Its schema is written once under its ``name``; a date has none, since its format says it all.
    """

    f: F
    name: str
    parse: Callable[[str, str], Any]
    text_schema: dict[str, Any]
    form: Clause

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
            return ctx.unread(at, error)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Refer to a string with the pattern of the language."""
        schema = {"type": "string", **self.text_schema}
        if not self.name:
            return schema
        said = in_english(self.form)
        return parts.put(self.name, {**schema, "description": f"{said[0].upper()}{said[1:]}."})


def parsed_reader(hint: Any, f: F) -> ParsedReader | None:
    """Return the reader of a type that has a text language, or None."""
    if hint is money.Money:
        return ParsedReader(f, "MoneyText", _money, {"pattern": money.PATTERN, "maxLength": 40}, clause("form-money"))
    if hint is lumber.Nominal:
        return ParsedReader(
            f, "LumberText", _lumber, {"maxLength": 40, "pattern": lumber.PATTERN}, clause("form-board-size")
        )
    if hint is instants.Moment:
        return ParsedReader(
            f, "MomentText", _moment, {"pattern": instants.PATTERN, "maxLength": 40}, clause("form-instant")
        )
    if hint is date:
        return ParsedReader(f, "", _date, {"format": "date"}, clause("form-date"))
    if hint is units.Outline:
        return ParsedReader(
            f,
            "OutlineText",
            _outline,
            {"pattern": units.OUTLINE_PATTERN, "maxLength": outline.MAX_OUTLINE_TEXT},
            clause("form-outline"),
        )
    return None


def _money(text: str, decimal: str) -> money.Money:
    if decimal == ",":
        if "." in text:
            raise UnitError("point-in-money")
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
        raise UnitError("not-a-date", given=repr(text[:40])) from None
    if not EARLIEST <= found <= LATEST:
        raise UnitError("no-day-of-work", given=text, first=str(EARLIEST), last=str(LATEST))
    return found
