"""Where texts come from: the ``messages.toml`` beside what raises them, and the packs of languages."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from functools import cache as once
from importlib.resources import files
from importlib.resources.abc import Traversable
from typing import Any, Final, Literal

import msgspec

from latewood import cache
from latewood.messages.prose import RECORDS, Draft, Translated, bound
from latewood.messages.template import FORM_COUNT, BadText

Severity = Literal["note", "warning", "danger", "stop"]
FILE: Final = "messages.toml"
#: The folder of a package that holds its packs; no record lies in it.
LANGUAGES: Final = "_languages"


class Message(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A finding, or a clause of a text: the second has no severity."""

    text: str
    params: dict[str, str] = {}
    severity: Severity | None = None
    do: tuple[str, ...] = ()
    source: str | None = None
    where: str | None = None
    #: Params that are data for clients and stand in no text.
    data: tuple[str, ...] = ()


class Refused(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Why an input is refused: the code of the fault, what is wrong with the value, and what to send."""

    code: str
    detail: str
    expected: str | None = None
    params: dict[str, str] = {}


class Source(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A ``messages.toml``: findings, clauses joined into them, refusals, and the words they use."""

    schema: Literal[1]
    message: dict[str, Message] = {}
    clause: dict[str, Message] = {}
    refusal: dict[str, Refused] = {}
    words: dict[str, dict[str, str]] = {}


class Manner(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """How a language joins, counts and dates: the ``language.toml`` of a pack."""

    id: str
    title: str
    plural: str = "one-other"
    base: str | None = "en"
    units: dict[str, str] = {}
    join: dict[str, str] = {}
    moments: dict[str, Any] = {}

    def on(self, base: Manner) -> Manner:
        """Return it with what it leaves out taken from its base."""
        return msgspec.structs.replace(
            self,
            units=base.units | self.units,
            join=base.join | self.join,
            moments=base.moments | self.moments,
        )

    @property
    def differs(self) -> bool:
        """Whether it is a pack of differences: what it leaves out is the same in its base."""
        return self.base is not None and self.id.partition("-")[0] == self.base


class Bundle(msgspec.Struct, frozen=True, kw_only=True):
    """The texts of one package, each with the place that names it in a `BadText`."""

    sources: tuple[tuple[str, Source], ...] = ()
    manners: tuple[Manner, ...] = ()
    #: By language: the place and the tables of each file.
    packs: tuple[tuple[str, str, dict[str, Any]], ...] = ()
    #: What records say in other languages: as read, and once it is held against the records.
    drafts: tuple[Draft, ...] = ()
    prose: tuple[Translated, ...] = ()

    def held(self, record: Callable[[str, str], Any]) -> Bundle:
        """Return it with its drafts held against the records; raise `BadText` with the first that does not fit."""
        if not self.drafts:
            return self
        prose = tuple(one for draft in self.drafts for one in bound(draft, record))
        return msgspec.structs.replace(self, drafts=(), prose=(*self.prose, *prose))


def read_texts(package: str) -> Bundle:
    """Return the texts of an installed package: every ``messages.toml`` in its folders, and its ``_languages``.

    Raises `BadText` with the first fault. Whether texts fit their params is seen when they are put together.
    """
    root, name = files(package), f"texts-{package}"
    made_from = cache.made_from(package, root)
    if made_from is None:
        return _read_texts(root, package)
    if (kept := cache.recall(name, made_from)) is not None:
        with suppress(msgspec.MsgspecError):
            return msgspec.msgpack.decode(kept, type=Bundle)
    read = _read_texts(root, package)
    content = msgspec.msgpack.encode(read)
    # Dates come back as texts, and then it is read each time.
    if msgspec.msgpack.decode(content, type=Bundle) == read:
        cache.keep(name, made_from, content)
    return read


def _read_texts(root: Traversable, package: str) -> Bundle:
    sources = tuple((place, _read(entry, place, Source)) for place, entry in _messages(root, package))
    manners: list[Manner] = []
    packs: list[tuple[str, str, dict[str, Any]]] = []
    drafts: list[Draft] = []
    for folder in _folders(root.joinpath(LANGUAGES)):
        for entry in _seen(folder):
            place = f"{package}/{LANGUAGES}/{folder.name}/{entry.name}"
            if entry.name == "language.toml":
                manners.append(_manner(entry, place, folder.name))
            elif entry.name.endswith(".toml"):
                packs.append((folder.name, place, _tree(entry, place)))
            elif entry.name == RECORDS:
                drafts += _drafts(entry, place, folder.name)
    return Bundle(sources=sources, manners=tuple(manners), packs=tuple(packs), drafts=tuple(drafts))


@once
def own() -> Bundle:
    """Return the texts of the engine itself."""
    return read_texts("latewood")


def _seen(folder: Traversable) -> list[Traversable]:
    """Return what lies in a folder, by name, but what is hidden: editors and systems leave such beside other files."""
    seen = (entry for entry in folder.iterdir() if not entry.name.startswith("."))
    return sorted(seen, key=lambda entry: entry.name)


def _messages(folder: Traversable, place: str) -> Iterator[tuple[str, Traversable]]:
    for entry in _seen(folder):
        if entry.name == FILE:
            yield f"{place}/{FILE}", entry
        elif "." not in entry.name and not entry.name.startswith("_") and entry.is_dir():
            yield from _messages(entry, f"{place}/{entry.name}")


def _folders(root: Traversable) -> Iterator[Traversable]:
    if root.is_dir():
        yield from (one for one in _seen(root) if one.is_dir())


def _drafts(folder: Traversable, place: str, lang: str) -> Iterator[Draft]:
    for entry in _seen(folder):
        if entry.name.endswith(".toml"):
            at = f"{place}/{entry.name}"
            yield Draft(lang=lang, kind=entry.name.removesuffix(".toml"), place=at, tree=_tree(entry, at))


def _manner(entry: Traversable, place: str, folder: str) -> Manner:
    manner: Manner = _read(entry, place, Manner)
    if manner.id != folder:
        raise BadText(f"{place}: the language is {manner.id} and its folder {folder}")
    if manner.plural not in FORM_COUNT:
        raise BadText(f"{place}: unknown plural rule {manner.plural!r}; one of {', '.join(FORM_COUNT)}")
    return manner


def _read(entry: Traversable, place: str, kind: type[Any]) -> Any:
    try:
        return msgspec.convert(_tree(entry, place), type=kind)
    except msgspec.ValidationError as error:
        raise BadText(f"{place}: {error}") from None


def _tree(entry: Traversable, place: str) -> dict[str, Any]:
    try:
        return tomllib.loads(entry.read_text("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadText(f"{place}: {error}") from None


def texts_of(tree: Mapping[str, Any], place: str) -> Iterator[tuple[str, str]]:
    """Yield ids and texts of a pack's messages, clauses and refusals, the last by ``id.detail`` and ``id.expected``."""
    for table in ("message", "clause"):
        yield from tree.get(table, {}).items()
    for id, parts in tree.get("refusal", {}).items():
        if not isinstance(parts, Mapping):
            raise BadText(f"{place}: refusal {id} has a detail and an expected text")
        for name, text in parts.items():
            yield f"{id}.{name}", text
