"""A text bound to one style: the function that puts values into it, for a speaker who has names for things."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

from latewood.messages.template import Parts, Slot

Say = Callable[[Mapping[str, Any], Any], str]
Write = Callable[[Any, Any], str]
#: A list of names longer than this ends in "and 5 more"; of places, so does one longer than the second. `values` hold
#: all of them.
MOST_NAMES: Final = 6
MOST_PLACES: Final = 4


def bind(
    parts: Parts,
    field: Callable[[Slot], tuple[str | None, Write]],
    *,
    sentence: bool,
    dotted: bool = False,
) -> Say:
    """Return the function that fills a text in; ``field`` gives each slot's param and how it is written.

    A sentence that begins with a placeholder begins with a capital. In a language with abbreviations (``3 p. m.``)
    a full stop after a placeholder is not doubled.
    """
    pieces: list[str] = []
    fields: list[tuple[str, Write]] = []
    for place, part in enumerate(parts):
        if isinstance(part, str):
            pieces.append(part.replace("%", "%%"))
            continue
        name, write = field(part)
        after = parts[place + 1] if place + 1 < len(parts) else ""
        if dotted and isinstance(after, str) and after.startswith("."):
            write = _without_stop(write)
        if place == 0 and sentence:
            write = _capital(write)
        if name is None:
            pieces.append(write(None, None).replace("%", "%%"))
        else:
            pieces.append("%s")
            fields.append((name, write))
    pattern = "".join(pieces)
    if not fields:
        fixed = pattern.replace("%%", "%")
        return lambda values, by: fixed
    if len(fields) == 1:
        ((name_, only),) = fields
        return lambda values, by: pattern % only(values[name_], by)
    if len(fields) == 2:
        (first, one), (second, two) = fields
        return lambda values, by: pattern % (one(values[first], by), two(values[second], by))
    pairs = tuple(fields)
    return lambda values, by: pattern % tuple([write(values[name], by) for name, write in pairs])


def listed(one: Write, kind: str, form: str, words: Mapping[str, str]) -> Write:
    """Return the function that writes a list: joined by a word, a sign, as sentences, or after what went before."""
    if form in ("sentences", "then"):
        lead = " " if form == "then" else ""
        return lambda value, by: lead + " ".join([capital(one(v, by)) for v in value]) if value else ""
    if form == "semicolon":
        return lambda value, by: "; ".join(dict.fromkeys([one(v, by) for v in value])).replace(".; ", "; ")
    if form == "all":
        return lambda value, by: ", ".join(dict.fromkeys([one(v, by) for v in value]))
    most = MOST_NAMES if kind != "clause" else MOST_PLACES if form == "comma" else 99

    def told(value: Any, by: Any) -> list[str]:
        texts = list(dict.fromkeys([one(v, by) for v in value]))
        if len(texts) > most:
            texts = [*texts[: most - 1], words["more"].replace("#", str(len(texts) - most + 1))]
        return texts

    if form == "comma":
        return lambda value, by: ", ".join(told(value, by))
    last, softened = words[form or "and"], words.get(f"{form or 'and'}_before")
    sounds = tuple(words.get(f"{form or 'and'}_sounds", "").split())

    def write(value: Any, by: Any) -> str:
        texts = told(value, by)
        if len(texts) < 2:
            return texts[0] if texts else ""
        use = softened if softened and texts[-1].lower().startswith(sounds) else last
        return ", ".join(texts[:-1]) + use + texts[-1]

    return write


def capital(text: str) -> str:
    """Return a text with its first letter large; Python's own would make the rest small."""
    return text[:1].upper() + text[1:]


def _capital(write: Write) -> Write:
    return lambda value, by: capital(write(value, by))


def _without_stop(write: Write) -> Write:
    return lambda value, by: write(value, by).removesuffix(".")
