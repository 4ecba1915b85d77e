"""Texts in one language, unit system and decimal mark."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from copy import copy
from typing import Any, Protocol

from latewood.messages import quantities
from latewood.messages.binding import Say, Write, bind, listed
from latewood.messages.lacking import lacks, own
from latewood.messages.style import Style
from latewood.messages.template import FORM_COUNT, Parts, Slot, first_sentence, parse, plural_index
from latewood.messages.values import Brief, Clause, Prose, Titled, Word, literal


class Catalogue(Protocol):
    """What a speaker needs of all texts."""

    fell_back: Counter[tuple[str, str]]
    params: dict[str, Mapping[str, str]]

    @property
    def packs(self) -> Mapping[str, Any]:
        """Packs by language."""
        ...

    @property
    def messages(self) -> Mapping[str, Any]:
        """Declarations by id."""
        ...

    @property
    def refusals(self) -> Mapping[str, Any]:
        """Declarations of refusals by id."""
        ...

    def speaker(self, style: Style) -> Speaker:
        """Return what writes texts in another style."""
        ...


class Speaker:
    """Writes texts in one style. Each is bound when it is first written, and counted where its base had to be taken.

    What is bound serves all speakers of a style: those that write names by labels of their own too.
    """

    def __init__(self, texts: Catalogue, style: Style) -> None:
        self.texts, self.style = texts, style
        self.pack = texts.packs[style.lang]
        self.manner = self.pack.manner
        self.differs: bool = self.manner.differs
        base = None if style.lang == "en" else self.manner.base
        self.base: Speaker | None = None if base is None else texts.speaker(style._replace(lang=base))
        #: Labels by name: what the parts of a deck are called for people.
        self.labels: Mapping[str, str] = {}
        self._ready: dict[str, Say] = {}
        self._prose: dict[tuple[str, str, str], str] = {}
        self._any_of: dict[type, Write] = {}
        shown = (*self.manner.units.values(), self.manner.moments["pm"])
        self._dotted = any(text.endswith(".") for text in shown)
        self._index = plural_index(self.manner.plural)

    def say(self, id: str, values: Mapping[str, Any]) -> str:
        """Return the text of an id with these values in it."""
        ready = self._ready.get(id)
        if ready is None:
            ready = self._ready[id] = self._bind(id)
        return ready(values, self)

    def clause(self, part: Clause) -> str:
        """Return a clause in words."""
        return self.brief(part) if isinstance(part, Brief) else self.say(part.id, part.values)

    def brief(self, part: Brief) -> str:
        """Return the first sentence of a finding, as a clause."""
        key = f"{part.id} in brief"
        ready = self._ready.get(key)
        if ready is None:
            parts = self._parts(part.id)
            if parts is None:
                self.texts.fell_back[self.style.lang, part.id] += 1
                return self.base.brief(part) if self.base is not None else part.id
            params = self.texts.params[part.id]
            ready = self._ready[key] = bind(
                first_sentence(parts), lambda slot: self._field(slot, params), sentence=False, dotted=self._dotted
            )
        text = ready(part.values, self)
        return text if text.partition(" ")[0][1:].isupper() else f"{text[:1].lower()}{text[1:]}"

    def naming(self, labels: Mapping[str, str]) -> Speaker:
        """Return what writes names by these labels: the parts of one deck as its plan calls them."""
        other = copy(self)
        other.labels = labels
        if other.base is not None:
            other.base = other.base.naming(labels)
        return other

    def language_of(self, id: str, values: Mapping[str, Any]) -> str | None:
        """Return the language a text, or something in it, is taken from; None where all is in the one asked for."""
        whole = self.base is None or self.differs
        return None if whole or not lacks(self.texts, self.style.lang, id, values) else str(self.manner.base)

    def _bind(self, id: str) -> Say:
        parts = self._parts(id)
        if parts is None:
            if self.base is None or self.differs:
                raise KeyError(f"there is no message {id!r}")
            return _borrowed(id)
        params = self.texts.params[id]
        message = self.texts.messages.get(id)
        sentence = message is not None and message.severity is not None
        return bind(parts, lambda slot: self._field(slot, params), sentence=sentence, dotted=self._dotted)

    def _parts(self, id: str) -> Parts | None:
        """Return a text as this language has it; None where all of it is in its base."""
        parts: Parts | None = self.pack.parts.get(id)
        if parts is None and self.base is not None and self.differs:
            parts = self.base.pack.parts.get(id)
        return parts

    def _field(self, slot: Slot, params: Mapping[str, str]) -> tuple[str | None, Write]:
        if slot.quantity is not None:
            text = self._quantity(slot)
            return None, lambda _, by: text
        kind = params[slot.name]
        if slot.variants:
            variants, index = slot.variants, self._index
            size: Callable[[Any], int] = int if kind == "count" else len
            return slot.name, lambda value, by: variants[index(size(value))].replace("#", str(size(value)))
        if kind.endswith(" list"):
            bare = kind.removesuffix(" list")
            return slot.name, listed(self._one(bare, ""), bare, slot.form, self.manner.join)
        return slot.name, self._one(kind, slot.form)

    def _quantity(self, slot: Slot) -> str:
        if slot.quantity is None:
            raise TypeError(f"{slot.name} is no quantity of a text")
        if slot.form == "limit":
            return quantities.legal(slot.quantity, slot.name, self.style, self.manner.units)
        return quantities.writer(slot.quantity.kind, "", self.style, self.manner.units)(slot.quantity)

    def _one(self, kind: str, form: str) -> Write:
        kind, _, of = kind.partition(":")
        style, names = self.style, self.manner.units
        match kind:
            case "name":
                return lambda value, by: by.labels.get(value, value)
            case "code":
                return lambda value, by: str(value)
            case "count":
                return lambda value, by: str(int(value))
            case "word":
                return lambda value, by: by.word(of, value)
            case "record":
                return lambda value, by: by.title(value)
            case "prose":
                return lambda value, by: by.prose(value)[0]
            case "clause":
                return lambda value, by: by.clause(value)
            case "any":
                return lambda value, by: by.any(value)
            case "limit":
                return lambda value, by: quantities.legal(value.measure, value.given, style, names)
            case "number":
                write = quantities.marked(quantities.three, style)
            case "between":
                write = quantities.between(form, style, names, self.manner.join["to"])
            case "moment":
                write = quantities.moment(form, style, self.manner.moments)
            case _:
                write = quantities.writer(kind, form, style, names)
        return lambda value, by: write(value)

    def any(self, value: Any) -> str:
        """Write a value that says itself what it is; plain text is read as a quantity if it is one."""
        write = self._any_of.get(value.__class__)
        if write is not None:
            return write(value, self)
        if isinstance(value, Word):
            return self.word(value.of, value)
        if not hasattr(value, "kind"):
            read = literal(str(value))
            return str(value) if read is None else self.any(read)
        write = self._any_of[value.__class__] = self._one(value.kind, "")
        return write(value, self)

    def word(self, of: str, id: str) -> str:
        """Return the label of a word; of a word the language lacks, that of its base; of an unknown one, its id."""
        text: str | None = self.pack.words.get(of, {}).get(id)
        if text is not None:
            return text
        if self.base is None:
            return id.replace("_", " ").replace("-", " ")
        if not self.differs:
            self.texts.fell_back[self.style.lang, f"words.{of}.{id}"] += 1
        return self.base.word(of, id)

    def title(self, value: Titled) -> str:
        """Return the title of a record."""
        record = value.record
        return self.prose(Prose(record.KIND, record.id, "title", record.title))[0]

    def packs(self, rows: Sequence[tuple[int, float]]) -> str:
        """Return containers in one line, with plain blanks as cells are compared: 1 × 5 gal + 2 × 1 qt."""
        return self.counted((count, self.container(size)) for count, size in rows)

    def counted(self, rows: Iterable[tuple[int, str]]) -> str:
        """Return what is bought by its labels in one line, or that nothing is."""
        return " + ".join(f"{count} × {label}" for count, label in rows) or self.say("nothing-to-buy", {})

    def container(self, size: float) -> str:
        """Return the size of a container in the units asked for, with a plain blank."""
        return quantities.container(self.style, self.manner.units)(size).replace(quantities.SPACE, " ")

    def prose(self, prose: Prose) -> tuple[str, str | None]:
        """Return a text of a record, and the language it had to be taken from, None where it is the one asked for.

        Quantities in braces come in the units asked for.
        """
        key, text = (prose.record, prose.id, prose.field), own(self.pack, prose)
        if text is None and self.base is not None:
            said, lang = self.base.prose(prose)
            if self.differs:
                return said, lang
            self.texts.fell_back[self.style.lang, "/".join(key)] += 1
            return said, str(self.manner.base)
        if text is None:
            # Its own words; two plugins' records of one id may differ, so nothing is remembered.
            return self._filled(prose.text, key), None
        done = self._prose.get(key)
        if done is None:
            done = self._prose[key] = self._filled(text, key)
        return done, None

    def _filled(self, text: str, key: tuple[str, str, str]) -> str:
        if "{" not in text:
            return text
        parts = parse(text, {}, "/".join(key), FORM_COUNT[self.manner.plural])
        return bind(parts, lambda slot: self._field(slot, {}), sentence=True)({}, self)


def _borrowed(id: str) -> Say:
    """Return what takes a text from the base of a language, and counts it."""

    def say(values: Mapping[str, Any], by: Any) -> str:
        by.texts.fell_back[by.style.lang, id] += 1
        said: str = by.base.say(id, values)
        return said

    return say
