"""What can be wrong with an input, said so that the sender can mend it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sized
from difflib import get_close_matches
from typing import Any, Final

import msgspec


class Fault(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One thing wrong at one place: a JSON Pointer, a code for machines, and the remedy for people."""

    pointer: str
    code: str
    detail: str
    expected: str | None = None
    nearest: str | None = None
    #: The id of the text, where it is data, and what stands in it.
    id: str | None = None
    values: dict[str, Any] = {}
    #: The language of the text, where the one asked for lacks it.
    language: str | None = None

    @property
    def place(self) -> str:
        """The place as a line names it; names that were sent may hold what moves a cursor, and are shown without."""
        return "".join(c if c.isprintable() else " " for c in self.pointer.strip("/").replace("/", "."))

    def line(self) -> str:
        """Return the fault as one plain line, as a spreadsheet cell shows it."""
        parts = [f"{self.place or 'input'}: {self.detail}"]
        if self.expected:
            parts.append(f"expected {self.expected}")
        if self.nearest:
            parts.append(f"did you mean {self.nearest}?")
        return "; ".join(parts)


class InputProblem(ValueError):
    """Every fault found in one input, not just the first (HTTP 422)."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("\n".join(fault.line() for fault in self.faults))

    @classmethod
    def raise_any(cls, faults: Iterable[Fault]) -> None:
        """Raise it with these faults, unless there is none."""
        if found := tuple(faults):
            raise cls(found)


class Malformed(ValueError):
    """A body that cannot be read as a JSON document at all (HTTP 400)."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(fault.detail)


class NotFound(LookupError):
    """A calculator, an output or a catalogue id that does not exist here (HTTP 404)."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(fault.line())


def escape(token: str | int) -> str:
    """Return one RFC 6901 reference token."""
    return str(token).replace("~", "~0").replace("/", "~1")


def fold(words: str) -> str:
    """Return words without case, accents and what stands between them, so that one name is told from another."""
    bare = "".join(c for c in unicodedata.normalize("NFKD", words) if not unicodedata.combining(c))
    return " ".join("".join(c if c.isalnum() else " " for c in bare.casefold()).split())


_BETWEEN_WORDS: Final = re.compile(r"(?<![0-9]) | (?![0-9])")

#: Looking for the nearest name takes a while; thousands of unknown names must not hold everyone else up.
MAX_SUGGESTIONS: Final = 20


def suggestion(word: str, known: Iterable[str], faults: Sized) -> str | None:
    """Return the known word most like this one, unless many faults were found already."""
    return nearest(word, known) if len(faults) < MAX_SUGGESTIONS else None


def same_name(name: str) -> str:
    """Return what two spellings of one name share: case, accents, spaces and hyphens do not count.

    What stands between two digits does: 80.0 is not 800. What is no name, for its length or for a character that cannot
    be seen, shares nothing.
    """
    return _BETWEEN_WORDS.sub("", fold(name)) if len(name) <= 80 and name.isprintable() else ""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word most like this one, if any is like it; letter case and spaces around it do not count."""
    by_fold: dict[str, str] = {}
    for one in known:
        by_fold.setdefault(one.casefold(), one)
    close = get_close_matches(word[:80].strip().casefold(), by_fold, n=1, cutoff=0.6)
    return by_fold[close[0]] if close else None
