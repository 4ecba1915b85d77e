"""All texts of an engine by language, checked when they are put together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Any, Final

import msgspec

from latewood.messages.prose import Key, Translated
from latewood.messages.sources import Bundle, Manner, Message, Refused, own, texts_of
from latewood.messages.speaker import Speaker
from latewood.messages.style import Style
from latewood.messages.template import FORM_COUNT, BadText, Parts, check_kinds, names_of, parse
from latewood.messages.values import Clause

#: The language every text is written in first.
SOURCE: Final = "en"
_TABLES: Final = frozenset({"message", "clause", "refusal", "words", "meaning"})


class Pack(msgspec.Struct, kw_only=True):
    """One language: texts by id, words by vocabulary, prose of records by kind, id and field."""

    manner: Manner
    parts: dict[str, Parts] = {}
    words: dict[str, dict[str, str]] = {}
    prose: dict[Key, Translated] = {}


class Texts:
    """The texts of an engine and its plugins. Nothing in it changes after loading but what is remembered."""

    def __init__(self, bundles: Iterable[Bundle]) -> None:
        self.bundles = tuple(bundles)
        self.messages: dict[str, Message] = {}
        self.refusals: dict[str, Refused] = {}
        #: Params by id of a text; those of a refusal go by ``id.detail`` and ``id.expected``.
        self.params: dict[str, Mapping[str, str]] = {}
        #: Where each text stands.
        self.origin: dict[str, str] = {}
        self.packs: dict[str, Pack] = {}
        #: How often a language had to take a text of its base, by language and id.
        self.fell_back: Counter[tuple[str, str]] = Counter()
        self._speakers: dict[Style, Speaker] = {}
        self._languages()
        for bundle in self.bundles:
            for place, source in bundle.sources:
                for id, message in (*source.message.items(), *source.clause.items()):
                    self._add(id, message, place)
                    if (message.severity is None) == (id in source.message):
                        raise BadText(f"{place}: {id}: a message has a severity, a clause has none")
                for id, refused in source.refusal.items():
                    self._refuse(id, refused, place)
                for of, labels in source.words.items():
                    self.packs[SOURCE].words.setdefault(of, {}).update(labels)
        self._vocabularies()
        for bundle in self.bundles:
            for lang, place, tree in bundle.packs:
                self._translate(lang, place, tree)
            if bundle.drafts:
                raise BadText(f"{bundle.drafts[0].place}: what records say is read with the plugin that brings them")
            for one in bundle.prose:
                if one.lang not in self.packs:
                    raise BadText(f"there is no language.toml of {one.lang}")
                self.packs[one.lang].prose[one.key] = one

    def _languages(self) -> None:
        manners = [manner for bundle in self.bundles for manner in bundle.manners]
        for manner in sorted(manners, key=lambda one: (one.id != SOURCE, one.id)):
            if manner.id in self.packs:
                raise BadText(f"language {manner.id} is declared twice")
            if manner.id == SOURCE:
                self.packs[SOURCE] = Pack(manner=manner)
                continue
            base = self.packs.get(manner.base or SOURCE)
            if base is None:
                raise BadText(f"language {manner.id} builds on {manner.base}, which there is not")
            self.packs[manner.id] = Pack(manner=manner.on(base.manner))

    def _add(self, id: str, message: Message, place: str) -> None:
        parts = self._source(id, message.text, message.params, place)
        unused = set(message.params) - names_of(parts) - set(message.data)
        if unused:
            raise BadText(
                f"{place}: {id}: {', '.join(sorted(unused))} declared and not shown; name it under data if it is meant"
            )
        if unknown := set(message.data) - set(message.params):
            raise BadText(f"{place}: {id}: data names {', '.join(sorted(unknown))}, which is not among its params")
        self.messages[id] = message

    def _refuse(self, id: str, refused: Refused, place: str) -> None:
        parts = self._source(f"{id}.detail", refused.detail, refused.params, place)
        shown = names_of(parts)
        if refused.expected is not None:
            shown |= names_of(self._source(f"{id}.expected", refused.expected, refused.params, place))
        if unused := set(refused.params) - shown:
            raise BadText(f"{place}: {id}: {', '.join(sorted(unused))} declared and not shown")
        self.refusals[id] = refused

    def _source(self, id: str, text: str, params: Mapping[str, str], place: str) -> Parts:
        where = f"{place}: {id}"
        if id in self.origin:
            raise BadText(f"{where} is already in {self.origin[id]}")
        check_kinds(params, where)
        pack = self.packs[SOURCE]
        parts = parse(text, params, where, FORM_COUNT[pack.manner.plural])
        self.origin[id], self.params[id], pack.parts[id] = place, params, parts
        return parts

    def _vocabularies(self) -> None:
        words = self.packs[SOURCE].words
        for id, params in self.params.items():
            for name, kind in params.items():
                of = kind.removesuffix(" list").partition(":")[2]
                if of and of not in words:
                    raise BadText(f"{self.origin[id]}: {id}: {name} is a word of {of!r}, and there are none of that")

    def _translate(self, lang: str, place: str, tree: Mapping[str, Any]) -> None:
        if lang not in self.packs:
            raise BadText(f"{place}: there is no language.toml of {lang}")
        if unknown := set(tree) - _TABLES:
            raise BadText(f"{place}: unknown table {', '.join(sorted(unknown))}; one of {', '.join(sorted(_TABLES))}")
        pack, source = self.packs[lang], self.packs[SOURCE]
        plurals = FORM_COUNT[pack.manner.plural]
        for id, text in texts_of(tree, place):
            where = f"{place}: {id}"
            if id not in self.params:
                raise BadText(f"{where}: there is no message of this id")
            if id in pack.parts:
                raise BadText(f"{where} is translated twice")
            parts = parse(text, self.params[id], where, plurals)
            if lost := names_of(source.parts[id]) - names_of(parts):
                raise BadText(f"{where}: {', '.join(sorted(lost))} of the English text is missing")
            pack.parts[id] = parts
        for said, text in tree.get("meaning", {}).items():
            key = ("field", said, "meaning")
            pack.prose[key] = Translated(lang=lang, key=key, text=text, of=said)
        for of, labels in tree.get("words", {}).items():
            if unknown := set(labels) - set(source.words.get(of, {})):
                raise BadText(f"{place}: words.{of}: {', '.join(sorted(unknown))} not in English")
            pack.words.setdefault(of, {}).update(labels)

    def missing(self, lang: str) -> list[str]:
        """Return ids of texts and words a whole language lacks."""
        pack = self.packs[lang]
        words = [
            f"words.{of}.{id}"
            for of, labels in self.packs[SOURCE].words.items()
            for id in labels
            if id not in pack.words.get(of, {})
        ]
        return [id for id in self.params if id not in pack.parts] + words

    def speaker(self, style: Style) -> Speaker:
        """Return what writes texts in one style; there are a handful of styles, as long as the engine lives."""
        known = self._speakers.get(style)
        return known if known is not None else self._speakers.setdefault(style, Speaker(self, style))

    def listed(self) -> list[dict[str, Any]]:
        """Return every text with its params, as the catalogue of a server lists them."""
        found = [
            {"id": id, **({"severity": one.severity} if one.severity else {}), "text": one.text, "params": one.params}
            for id, one in self.messages.items()
        ]
        refused = [
            {"id": id, "code": one.code, "text": one.detail, "params": one.params}
            | ({"expected": one.expected} if one.expected else {})
            for id, one in self.refusals.items()
        ]
        return sorted(found + refused, key=lambda one: str(one["id"]))


@cache
def shipped() -> Texts:
    """Return the engine's own texts, without those of any plugin."""
    return Texts([own()])


def in_english(part: Clause) -> str:
    """Return a clause in English and metric units, for what clients of before read in params."""
    return shipped().speaker(Style()).clause(part)
