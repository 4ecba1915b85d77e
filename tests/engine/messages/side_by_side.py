"""Print English and another language side by side, for the one who reads a translation against its source.

``python -m tests.engine.messages.side_by_side es --safety`` prints what can keep somebody from harm: cautions,
findings of danger, stops, warnings, and what is beside them. ``--records`` all records, ``--missing`` what lacks.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from typing import Final, NamedTuple

from tests.bundled import bundled

from latewood.catalogue import Catalogue
from latewood.messages import texts_in
from latewood.messages.template import Parts

#: Fields of records, and lists of them, that people read in answers and lists.
FIELDS: Final = frozenset(
    {"title", "summary", "message", "why", "where", "note", "holds", "do", "ending", "trial", "container", "brief"}
    | {"label", "look_up", "notes"}
)
#: Kinds of records that no answer speaks of in prose: citations keep the words they were published in.
CITED: Final = frozenset({"source", "check"})
#: What is about injury in a text of any severity.
HARM: Final = re.compile(
    r"\b(lead|arsenic\w*|creosote|pentachlor\w*|rags?|cloths?|solvents?|mains|electri\w*|falls?|guards?|poison\w*|gas"
    r"|bleach|acid\w*|caustic|burns?|fire|ignite\w*|dust|respirator|goggles|gloves|dichloromethane|methylene|stripper"
    r"|rot\w*|competent|structur\w*|children|hazard\w*|toxic|cancer|spray\w*|heat)\b",
    re.IGNORECASE,
)


class Pair(NamedTuple):
    """A text in both languages; None where the second lacks it."""

    key: str
    english: str
    other: str | None


def read_by_people(kind: str, field: str) -> bool:
    """Say whether a text of a record is prose; the rest are ids, units and names."""
    *_, name = (part for part in field.split("/") if not part.isdigit())
    return kind not in CITED and (name in FIELDS or field.startswith("categories/"))


def records(lw: Catalogue, lang: str) -> Iterator[Pair]:
    """Yield what records say."""
    prose = lw.shelf.texts.packs[lang].prose
    for kind in lw.shelf.kinds():
        for record in lw.shelf.records(kind).values():
            for field, text in texts_in(record.raw):
                if read_by_people(kind, field):
                    told = prose.get((kind, record.id, field))
                    yield Pair(f"{kind}/{record.id}/{field}", text, told.text if told and told.of == text else None)


def messages(lw: Catalogue, lang: str) -> Iterator[Pair]:
    """Yield messages, clauses and refusals with their placeholders, and words."""
    texts = lw.shelf.texts
    pack, source = texts.packs[lang], texts.packs["en"]
    for id, parts in source.parts.items():
        yield Pair(id, _plain(parts), _plain(pack.parts[id]) if id in pack.parts else None)
    for of, labels in source.words.items():
        for id, label in labels.items():
            yield Pair(f"words.{of}.{id}", label, pack.words.get(of, {}).get(id))


def safety(lw: Catalogue, lang: str) -> Iterator[Pair]:
    """Yield what can keep somebody from harm, the gravest first."""
    declared = lw.shelf.texts.messages
    told = list(messages(lw, lang))
    said = list(records(lw, lang))
    yield from (pair for pair in said if pair.key.startswith("caution/"))
    for severity in ("danger", "stop", "warning"):
        yield from (pair for pair in told if pair.key in declared and declared[pair.key].severity == severity)
    for pair in told:
        graver = pair.key in declared and declared[pair.key].severity in ("danger", "stop", "warning")
        if not graver and HARM.search(pair.english):
            yield pair
    for pair in said:
        if not pair.key.startswith("caution/") and not pair.key.endswith("/where") and HARM.search(pair.english):
            yield pair


def _plain(parts: Parts) -> str:
    return "".join(
        one
        if isinstance(one, str)
        else "{" + one.name + (f":{one.form}" if one.form else "") + "".join(f"|{v}" for v in one.variants) + "}"
        for one in parts
    )


def main(lang: str, *options: str) -> None:
    """Print the pairs that were asked for."""
    lw = bundled()
    pairs = list(safety(lw, lang)) if "--safety" in options else [*messages(lw, lang), *records(lw, lang)]
    if "--records" in options:
        pairs = list(records(lw, lang))
    if "--missing" in options:
        pairs = [pair for pair in pairs if pair.other is None]
    for pair in dict.fromkeys(pairs):
        print(f"{pair.key}\n  {pair.english}\n  {'(missing)' if pair.other is None else pair.other}")
    print(f"{len(pairs)} texts, {sum(pair.other is None for pair in pairs)} missing")


if __name__ == "__main__":
    main(*sys.argv[1:])
