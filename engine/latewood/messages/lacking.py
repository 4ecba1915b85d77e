"""Whether a text, with what is put into it, is all in one language."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

from latewood.messages.template import names_of
from latewood.messages.values import Clause, Prose, Titled, Word


class Packs(Protocol):
    """What is known of all languages."""

    params: dict[str, Mapping[str, str]]

    @property
    def packs(self) -> Mapping[str, Any]:
        """Packs by language."""
        ...


def own(pack: Any, prose: Prose) -> str | None:
    """Return a text of a record in a language, None where it has none for these words.

    Another plugin's record of this id may say something else.
    """
    told = pack.prose.get((prose.record, prose.id, prose.field))
    return told.text if told is not None and told.of == prose.text else None


def lacks(texts: Packs, lang: str, id: str, values: Mapping[str, Any]) -> bool:
    """Say whether a language lacks a text, or a clause, word or prose that it shows."""
    parts = texts.packs[lang].parts.get(id)
    if parts is None:
        return True
    params = texts.params[id]
    return any(_one(texts, lang, params[name], values[name]) for name in names_of(parts))


def _one(texts: Packs, lang: str, kind: str, value: Any) -> bool:
    if kind.endswith(" list"):
        return any(_one(texts, lang, kind.removesuffix(" list"), one) for one in value)
    if isinstance(value, Clause):
        return lacks(texts, lang, value.id, value.values)
    if isinstance(value, Titled):
        value = value.record.prose(value.record.title, "title")
    if isinstance(value, Prose):
        return own(texts.packs[lang], value) is None
    of = value.of if isinstance(value, Word) else kind.partition(":")[2]
    mine, source = (texts.packs[one].words.get(of, {}) for one in (lang, "en"))
    return value in source and value not in mine
