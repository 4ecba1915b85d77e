"""The catalogue for people: a list of each kind that can be searched, and a page for each entry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import Any, Final

from latewood.wire.write import digits
from latewood_api.pages.layout import Site, source_of, words
from latewood_api.query import SEARCH_LENGTH

#: What stands elsewhere on an entry's page.
_ELSEWHERE = frozenset({"schema", "record", "id", "title", "summary", "plugin", "content", "numbers", "sources"})
#: Entries of a list that is not folded, and characters of a title.
MOST: Final = 60
_LONG: Final = 120
#: Characters of a fact, and numbers, that are shown before they are unfolded.
_LONG_FACT: Final = 500
_NUMBERS: Final = 12


def kind_page(site: Site, kind: str, search: str | None) -> bytes:
    """Return the list of a kind, or what of it goes by a name; a long one is folded by initials."""
    listed = site.lw.items(kind, search)
    return site.page(
        "kind",
        site.kinds[kind],
        kind=kind,
        search=search or "",
        longest=SEARCH_LENGTH,
        groups=_folded(listed["items"]),
        listed=listed,
    )


def findings_page(site: Site) -> bytes:
    """Return every finding, the gravest first, each with its page."""
    texts = [one for one in site.lw.items("messages")["items"] if "severity" in one]
    order = ("stop", "danger", "warning", "note")
    by_severity = {s: _folded([one for one in texts if one["severity"] == s]) for s in order}
    return site.page("findings", "Findings", by_severity=by_severity)


def _folded(items: list[dict[str, Any]]) -> dict[str, list[dict[str, Any]]]:
    if len(items) <= MOST:
        return {"": items}
    return {letter: [*those] for letter, those in groupby(items, lambda one: str(one["id"])[0].upper())}


def entry_page(site: Site, kind: str, id: str) -> bytes:
    """Return what is known of one entry, each number with how it is known and where it is from."""
    lw = site.lw
    item = lw.item(kind, id)
    us = lw.item(kind, id, "us")
    held = {number["path"].split("/")[2] for number in item.get("numbers", ())}
    said = {**item.get("content", {}), **item}
    facts = {name: value for name, value in said.items() if name not in _ELSEWHERE | held}
    if kind == "messages" and (message := lw.shelf.texts.messages.get(id)) and message.source:
        facts["sources"] = [source_of(lw, message.source, message.where or "")]
    kinds = Counter(number["kind"] for number in item.get("numbers", ()))
    return site.page(
        "entry",
        item["title"] if len(item["title"]) <= _LONG and kind != "messages" else words(id),
        kind=kind,
        id=id,
        summary=item["summary"],
        facts=facts,
        long=_LONG_FACT,
        most=_NUMBERS,
        known=", ".join(f"{count} {kind}" for kind, count in kinds.most_common()),
        numbers=[*_numbers(site, item, us)],
        sources=[(source, _about(source)) for source in item.get("sources", ())],
    )


def _numbers(site: Site, item: Mapping[str, Any], us: Mapping[str, Any]) -> Iterator[tuple[Any, ...]]:
    for number, other in zip(item.get("numbers", ()), us.get("numbers", ()), strict=True):
        metric, customary = _quantity(number), _quantity(other)
        since = f" from {number['starts']}" if "starts" in number else ""
        yield (
            "/".join(number["path"].split("/")[2:]),
            number["title"] + since,
            metric,
            customary if customary != metric else "",
            number["kind"],
            source_of(site.lw, number["source"], number.get("where", "")),
            number.get("note", ""),
        )


def _quantity(number: Mapping[str, Any]) -> str:
    unit = f" {number['unit']}" if "unit" in number else ""
    value, low, high = (_short(number[end]) if end in number else "" for end in ("value", "low", "high"))
    return f"{value}{unit}" + (f" ({low} to {high}{unit})" if low else "")


def _short(number: float) -> str:
    """Return four significant digits; a year and other whole numbers stay whole."""
    return digits(number if number == int(number) else float(f"{number:.4g}"))


def _about(source: Mapping[str, Any]) -> str:
    told = [str(source[name]) for name in ("publisher", "year", "where") if name in source]
    told += [f"{named}: {source[name]}" for name, named in (("by", "By"), ("read", "Read")) if name in source]
    return ". ".join(told + ([source["note"]] if "note" in source else []))
