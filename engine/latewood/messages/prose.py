"""What records say in other languages: a file for each kind in ``_languages/<language>/records``, shaped like records.

A text goes by where it stands in its record, as the numbers of a record do: ``steps/clean/why``, ``do/0``.
A translation holds for the words it was made of: a record that says something else is shown as it is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import date
from typing import Any, Final

import msgspec

from latewood.messages.template import BadText, Slot, parse

Key = tuple[str, str, str]
#: The folder of a language that holds what records say.
RECORDS: Final = "records"


class Draft(msgspec.Struct, frozen=True, kw_only=True):
    """A file of translations as it was read, before it is held against the records."""

    lang: str
    kind: str
    place: str
    tree: dict[str, Any]


class Translated(msgspec.Struct, frozen=True, kw_only=True):
    """A text of a record in another language, and the words it was made of."""

    lang: str
    key: Key
    text: str
    of: str


def texts_in(tree: Any, at: tuple[str, ...] = ()) -> Iterator[tuple[str, str]]:
    """Yield each text of a record's file and where it stands; an entry of a list goes by its id, day or place."""
    if isinstance(tree, str):
        yield "/".join(at), tree
    elif isinstance(tree, Mapping):
        for name, one in tree.items():
            yield from texts_in(one, (*at, name))
    elif isinstance(tree, list | tuple):
        for place, one in enumerate(tree):
            yield from texts_in(one, (*at, _name(one, place)))


def _name(entry: Any, place: int) -> str:
    named = (entry.get("id"), entry.get("from")) if isinstance(entry, Mapping) else ()
    return next((str(name) for name in named if isinstance(name, str | date)), str(place))


def bound(draft: Draft, record: Callable[[str, str], Any]) -> Iterator[Translated]:
    """Yield the translations of a file; raise `BadText` for a record or a field there is not, or a lost quantity."""
    for id, tree in draft.tree.items():
        found = record(draft.kind, id)
        if found is None:
            raise BadText(f"{draft.place}: there is no {draft.kind} {id!r}")
        words = dict(texts_in(found.raw))
        for field, text in texts_in(tree):
            where = f"{draft.place}: {draft.kind}/{id}/{field}"
            if field not in words:
                raise BadText(f"{where}: the record has no such text")
            if _quantities(text, where) != _quantities(words[field], where):
                raise BadText(f"{where}: its quantities are not those of the record")
            yield Translated(lang=draft.lang, key=(draft.kind, id, field), text=text, of=words[field])


def _quantities(text: str, where: str) -> Counter[str]:
    return (
        Counter(part.name for part in parse(text, {}, where, 2) if isinstance(part, Slot)) if "{" in text else Counter()
    )
