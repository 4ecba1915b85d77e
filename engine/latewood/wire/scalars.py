"""Readers of single values: quantities, counts, words, texts, ids."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Protocol

from latewood.declare import F
from latewood.messages import Clause, Code, Count, Word, clause
from latewood.problems import same_name, suggestion
from latewood.quantities.units import UnitError
from latewood.wire.components import Components
from latewood.wire.context import MISSING, Context

#: What moves the cursor, breaks a line or turns the order of letters, so that a page says what its writer did not: the
#: controls of Unicode, its two separators, and marks that embed, override or isolate a direction. Letters that are
#: written from right to left need none of them.
_CONTROLS = r"\u0000-\u001f\u007f-\u009f\u2028\u2029\u202a-\u202e\u2066-\u2069"
# Half surrogates are refused too; the contract leaves them out: some engines cannot name them in a class.
_CONTROL = re.compile(rf"[{_CONTROLS}\ud800-\udfff]")
_WHOLE = re.compile(r"-?[0-9]{1,15}")


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


def _respelt(raw: str, words: Iterable[Any]) -> str | None:
    """Return the one of these words that is written with other case, spaces or hyphens."""
    wanted = same_name(raw)
    return next((word for word in words if same_name(word) == wanted), None)


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
            wanted = clause("form-whole", example=Code(self.f.example or 2))
            if isinstance(raw, float) or (ctx.textual and isinstance(raw, str)):
                return ctx.refuse("not-a-whole-number", at, given=Code(f"{raw!r:.80}"), wanted=wanted)
            return ctx.wrong_type(at, raw, wanted)
        low, high = self.f.ge, self.f.le
        if (low is not None and raw < low) or (high is not None and raw > high):
            return ctx.refuse("number-outside-limits", at, given=Code(str(raw)[:40]), wanted=self._limits())
        return raw

    def _limits(self) -> Clause:
        low, high = self.f.ge, self.f.le
        if low is not None and high is not None:
            return clause("form-whole-between", low=Count(low), high=Count(high))
        if low is not None:
            return clause("form-whole-at-least", low=Count(low))
        return clause("form-whole-at-most", high=Count(high or 0))

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
        return raw if isinstance(raw, bool) else ctx.wrong_type(at, raw, clause("form-flag"))

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
        words = [Code(word) for word in self.words]
        if isinstance(raw, int) and not isinstance(raw, bool) and isinstance(self.words[0], int):
            return ctx.refuse("unknown-choice", at, given=Code(str(raw)[:40]), words=words)
        if not isinstance(raw, str) or isinstance(self.words[0], int):
            return ctx.wrong_type(at, raw, clause("form-choice", words=words))
        if (word := _respelt(raw, self.words)) is not None:
            return word
        close = suggestion(raw, words, ctx.faults)
        return ctx.refuse("unknown-choice", at, given=Code(repr(raw[:80])), words=words, nearest=close)

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
            return ctx.wrong_type(at, raw, clause("form-text"))
        if len(raw) > self.f.max_length:
            return ctx.refuse("text-too-long", at, length=Count(len(raw)), most=Count(self.f.max_length))
        if _CONTROL.search(raw):
            return ctx.refuse("control-in-text", at)
        if self.f.names is not None:
            raw = self._code(raw, at, ctx, self.f.names)
        if self.f.pattern and not re.fullmatch(self.f.pattern.removeprefix("^").removesuffix("$"), raw):
            return ctx.refuse("text-of-other-form", at, given=Code(repr(raw[:80])), wanted=self._form())
        try:
            if self.f.check is not None:
                self.f.check(raw)
        except UnitError as error:
            return ctx.unread(at, error)
        return raw

    def _code(self, raw: str, at: str, ctx: Context, kind: str) -> str:
        """Return the code a name stands for, or a code as it is written."""
        first, *parts = re.split(r"[\s_-]+", raw.strip())
        for name, rest in ((raw, []), (first, parts)):
            meant = ctx.shelf.meant(kind, name)
            record = None if meant is None else ctx.shelf.find(kind, meant)
            if record is not None and record.code is not None:
                if same_name(name) != same_name(record.code):
                    ctx.taken.append((at, name, record))
                return "-".join([record.code, *rest]).upper()
        return "-".join([first, *parts]).upper()

    def _form(self) -> Clause:
        if self.f.example:
            return clause("form-text-such-as", example=Code(self.f.example))
        return clause("form-text-like", pattern=Code(self.f.pattern or ""))

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return a string with its pattern."""
        pattern = self.f.pattern or f"^[^{_CONTROLS}]*$"
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
            return ctx.wrong_type(at, raw, clause("form-id", example=Code(self.f.example)))
        if raw in self.words:
            return raw
        if (record := ctx.shelf.find(self.kind, raw)) is not None:
            return record
        if (word := _respelt(raw, self.words)) is not None:
            return word
        if candidates := ctx.shelf.candidates(self.kind, raw):
            id = "several-woods" if self.kind == "species" else "several-records"
            return ctx.refuse(id, at, given=Code(repr(raw[:80])), words=[Code(one) for one in candidates])
        if (meant := ctx.shelf.meant(self.kind, raw)) is not None:
            record = ctx.shelf.find(self.kind, meant)
            if same_name(raw) != same_name(meant):
                ctx.taken.append((at, raw, record))
            return record
        why = ctx.shelf.missing_because(self.kind, raw)
        known = [*ctx.shelf.ids(self.kind), *self.words]
        close = suggestion(raw, known, ctx.faults)
        kind, given = Word("kind", self.kind), Code(repr(raw[:80]))
        path = Code(f"/v1/catalogue/{self.kind}")
        wanted = clause("form-id-from", path=path)
        if self.words:
            wanted = clause("form-id-or-word", path=path, words=[Code(word) for word in self.words])
        if why:
            return ctx.refuse(
                "no-record-because", at, kind=kind, given=given, why=Code(why), wanted=wanted, nearest=close
            )
        return ctx.refuse("no-record", at, kind=kind, given=given, wanted=wanted, nearest=close)

    def schema(self, parts: Components) -> dict[str, Any]:
        """Return an open string: a plugin's new record must not change the contract."""
        return {"type": "string", "maxLength": 80, "x-catalogue": self.kind}


__all__ = [
    "MISSING",
    "ChoiceReader",
    "FlagReader",
    "Reader",
    "RefReader",
    "TextReader",
    "WholeReader",
]
