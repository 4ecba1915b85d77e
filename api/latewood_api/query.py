"""Reading a query string: every pair in order, strictly UTF-8, nothing guessed or dropped."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, Final, NamedTuple, Self, TypeVar
from urllib.parse import quote, unquote_to_bytes, urlencode

from latewood.problems import Fault, InputProblem
from latewood.report import Layout
from latewood.wire.options import (
    CHOICES,
    RESERVED,
    Options,
    given_twice,
    not_searched,
    query_not_utf8,
    unknown_parameters,
)
from latewood_api import accept
from latewood_api.answers import AnyRequest

T = TypeVar("T")
Pairs = list[tuple[str, str]]


def parse(raw: bytes) -> Pairs:
    """Return the names and values of a query as sent; raise `Malformed` where they are not UTF-8.

    A percent sign that starts no escape stands for itself, as in every browser's decoder, so that ``moisture=12 %``
    works from programs that escape blanks only.
    """
    pairs = []
    for piece in raw.split(b"&"):
        if not piece:
            continue
        name, _, value = piece.partition(b"=")
        try:
            pairs.append((_text(name), _text(value)))
        except UnicodeDecodeError:
            raise query_not_utf8() from None
    return pairs


def _text(piece: bytes) -> str:
    return unquote_to_bytes(piece.replace(b"+", b" ")).decode("utf-8")


class Asked(NamedTuple):
    """The query of a request, and the languages of answers: those there are, and the one its header prefers."""

    raw: bytes
    languages: Sequence[str]
    preferred: str | None = None

    @classmethod
    def of(cls, request: AnyRequest) -> Self:
        """Return what a request asks."""
        languages = spoken(request)
        preferred = accept.language(request.headers.get("accept-language"), languages)
        return cls(request.scope["query_string"], languages, preferred)


def spoken(request: AnyRequest) -> Sequence[str]:
    """Return the languages that the engine behind this application has; the engine's own where it does not say."""
    return tuple(request.app.state.get("languages", CHOICES["lang"]))


def with_options(asked: Asked, use: Callable[[Pairs, Options], T]) -> T:
    """Call ``use`` with the query's own pairs and options; faults of both are raised together.

    Where an option is wrong, ``use`` is still asked, with default options, for the faults it would find.
    """
    pairs = parse(asked.raw)
    try:
        options, rest = Options.split(pairs, asked.languages)
        options = options.or_lang(asked.preferred)
    except InputProblem as wrong:
        faults = list(wrong.faults)
        rest = [(name, value) for name, value in pairs if name not in RESERVED]
        try:
            use(rest, Options())
        except InputProblem as more:
            faults.extend(more.faults)
        raise InputProblem(faults) from None
    return use(rest, options)


def unknown(rest: Pairs, known: Sequence[str] = ()) -> list[Fault]:
    """Return a fault for each parameter of a path that takes options and the known ones only."""
    return unknown_parameters([name for name, _ in rest], (*known, *CHOICES))


def options_only(asked: Asked) -> Options:
    """Return the options of a path that takes no other parameters."""

    def use(rest: Pairs, options: Options) -> Options:
        if rest:
            raise InputProblem(unknown(rest))
        return options

    return with_options(asked, use)


#: The longest text anything is searched for.
SEARCH_LENGTH: Final = 80


def search_for(asked: Asked) -> str | None:
    """Return the text of ``search=`` of a path that takes options beside it, or None where it is not given."""

    def use(rest: Pairs, options: Options) -> str | None:
        faults = unknown(rest, ("search",))
        texts = [value for name, value in rest if name == "search"]
        if len(texts) > 1:
            faults.append(given_twice("search"))
        elif texts and (fault := not_searched(texts[0], SEARCH_LENGTH)):
            faults.append(fault)
        if faults:
            raise InputProblem(faults)
        return texts[0] if texts else None

    return with_options(asked, use)


def with_layout(asked: Asked, use: Callable[[Options, Layout], T]) -> T:
    """Call ``use`` for a path that takes a body, options and a layout; faults of all of them are raised together."""

    def both(rest: Pairs, options: Options) -> T:
        layout, faults = Layout.read(rest)
        if not faults:
            return use(options, layout)
        try:
            use(options, Layout())
        except InputProblem as more:
            faults.extend(more.faults)
        raise InputProblem(faults)

    return with_options(asked, both)


def with_body(asked: Asked, use: Callable[[Options], T]) -> T:
    """Call ``use`` for a path that takes a body and options; faults of query and body are raised together."""

    def both(rest: Pairs, options: Options) -> T:
        faults = unknown(rest)
        if not faults:
            return use(options)
        try:
            use(options)
        except InputProblem as more:
            faults.extend(more.faults)
        raise InputProblem(faults)

    return with_options(asked, both)


def flatten(tree: Any, name: str = "") -> Pairs:
    """Return the flat form of a request tree: dotted names, indexes for objects in lists, repetition for scalars."""
    if isinstance(tree, Mapping):
        if set(tree) == {"value", "unit"}:
            return [(name, f"{tree['value']} {tree['unit']}")]
        return [pair for key, part in tree.items() for pair in flatten(part, f"{name}.{key}" if name else key)]
    if isinstance(tree, list | tuple):
        return [
            pair
            for index, part in enumerate(tree)
            for pair in flatten(part, f"{name}.{index}" if isinstance(part, Mapping) else name)
        ]
    return [(name, str(tree).lower() if isinstance(tree, bool) else str(tree))]


def encode(pairs: Pairs) -> str:
    """Return pairs as a query string; blanks are written %20, which every reader takes."""
    return urlencode(pairs, quote_via=quote)
