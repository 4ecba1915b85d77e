"""Texts with placeholders: read once and checked against the declared params.

``{name}`` · ``{name:form}`` · ``{count|# board|# boards}`` · ``{30 in}`` a quantity of the text itself · ``{{`` a brace
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from latewood.messages.measures import Measure
from latewood.messages.values import KINDS, literal

_TOKEN: Final = re.compile(r"\{\{|\}\}|\{([^{}]*)\}|([{}])")
#: Params that begin a finding about one part of the deck.
_PLACES: Final = frozenset({"of", "component", "face", "zone"})
_STOP: Final = re.compile(r"\.(?:\s|$)")
_NAME: Final = re.compile(r"^[a-z][a-z0-9_]*$")
#: Forms by kind.
FORMS: Final[Mapping[str, frozenset[str]]] = {
    "share": frozenset({"signed", "tenth"}),
    "between": frozenset({"tenth"}),
    "moment": frozenset({"day", "clock", "date"}),
    "list": frozenset({"or", "semicolon", "comma", "all", "sentences", "then"}),
}
#: How many plural forms each rule of CLDR has for whole numbers.
FORM_COUNT: Final[Mapping[str, int]] = {"one-other": 2, "zero-one-other": 2, "slavic-one-few-many": 3, "other": 1}
_RULES: Final[Mapping[str, Callable[[int], int]]] = {
    "one-other": lambda n: 0 if n == 1 else 1,
    "zero-one-other": lambda n: 0 if n in (0, 1) else 1,
    "slavic-one-few-many": lambda n: (
        0 if n % 10 == 1 and n % 100 != 11 else 1 if 2 <= n % 10 <= 4 and not 12 <= n % 100 <= 14 else 2
    ),
    "other": lambda n: 0,
}


class BadText(ValueError):
    """A text that would not work; the message names file and id."""


class Slot(NamedTuple):
    """One placeholder: a param with its form, or the forms of a plural; or a quantity of the text itself."""

    name: str
    form: str = ""
    variants: tuple[str, ...] = ()
    quantity: Measure | None = None


Parts = tuple[str | Slot, ...]


def parse(text: str, params: Mapping[str, str], where: str, plurals: int) -> Parts:
    """Return the literal pieces and slots of a text; raise `BadText` for what does not fit its params."""
    parts: list[str | Slot] = []
    at = 0

    def add(piece: str) -> None:
        last = parts[-1] if parts else None
        if isinstance(last, str):
            parts[-1] = last + piece
        elif piece:
            parts.append(piece)

    for token in _TOKEN.finditer(text):
        add(text[at : token.start()])
        at = token.end()
        if token[0] in ("{{", "}}"):
            add(token[0][0])
        elif token[2]:
            raise BadText(f"{where}: a brace stands alone; write {{{{ or }}}}")
        else:
            parts.append(_slot(token[1], params, where, plurals))
    add(text[at:])
    return tuple(parts)


def _slot(inner: str, params: Mapping[str, str], where: str, plurals: int) -> Slot:
    name, bar, rest = inner.partition("|")
    if bar:
        variants = tuple(rest.split("|"))
        kind = params.get(name, "")
        if kind != "count" and not kind.endswith(" list"):
            raise BadText(f"{where}: plural of {name!r}, which is no declared count or list")
        if len(variants) != plurals:
            raise BadText(f"{where}: {len(variants)} plural forms of {name!r}; this language has {plurals}")
        return Slot(name, variants=variants)
    name, _, form = inner.partition(":")
    if name[:1].isdigit():
        quantity = literal(name)
        if quantity is None:
            raise BadText(f"{where}: {name!r} is no quantity with a known unit")
        if form not in ("", "limit"):
            raise BadText(f"{where}: form {form!r} of a quantity; there is limit")
        return Slot(name, form, quantity=quantity)
    if not _NAME.match(name):
        raise BadText(f"{where}: {inner!r} is no placeholder")
    if name not in params:
        raise BadText(f"{where}: {{{name}}} is not among its params ({', '.join(params) or 'none'})")
    known = FORMS.get("list" if params[name].endswith(" list") else params[name], frozenset())
    if form and form not in known:
        raise BadText(f"{where}: {params[name]} has no form {form!r} ({', '.join(sorted(known)) or 'none'})")
    return Slot(name, form)


def check_kinds(params: Mapping[str, str], where: str) -> None:
    """Raise `BadText` for a param of a kind there is not."""
    for name, kind in params.items():
        bare, _, of = kind.removesuffix(" list").partition(":")
        if bare not in KINDS:
            raise BadText(f"{where}: {name} is of unknown kind {kind!r}; one of {', '.join(sorted(KINDS))}")
        if (bare == "word") != bool(of):
            raise BadText(f"{where}: {name}: a word names its vocabulary, such as word:part, and nothing else does")
        if not _NAME.match(name):
            raise BadText(f"{where}: {name!r} is no name of a param")


def names_of(parts: Parts) -> set[str]:
    """Return the params a text shows."""
    return {part.name for part in parts if isinstance(part, Slot) and part.quantity is None}


def first_sentence(parts: Parts) -> Parts:
    """Return a text up to its first full stop, without the part of the deck it begins with."""
    rest = list(parts)
    if rest and isinstance(rest[0], Slot) and rest[0].name in _PLACES:
        after = rest[1] if len(rest) > 1 else ""
        if rest[0].name == "of":
            del rest[0]
        elif isinstance(after, str) and after.startswith(": "):
            rest[:2] = [after.removeprefix(": ")]
    kept: list[str | Slot] = []
    for part in rest:
        if isinstance(part, str) and (found := _STOP.search(part)):
            return (*kept, part[: found.start()])
        kept.append(part)
    return tuple(kept)


def plural_index(rule: str) -> Callable[[int], int]:
    """Return which of a language's plural forms a count takes (CLDR, whole numbers)."""
    return _RULES[rule]
