"""The catalogue for people: a list of each kind that can be searched, and a page for each entry."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from html import escape
from typing import Any

from latewood.catalogue import Catalogue
from latewood.wire.write import digits
from latewood_api import html
from latewood_api.pages.answer import source_of
from latewood_api.query import SEARCH_LENGTH

#: What stands elsewhere on an entry's page.
_ELSEWHERE = frozenset({"schema", "record", "id", "title", "summary", "plugin", "content", "numbers", "sources"})


def kind_page(lw: Catalogue, kind: str, search: str | None) -> bytes:
    """Return the list of a kind, or what of it goes by a name."""
    listed = lw.items(kind, search)
    rows = [(html.link(page_of(kind, e["id"]), e["title"]), escape(e["summary"])) for e in listed["items"]]
    return html.page(
        kind,
        _form(kind, search),
        *_shared(listed.get("ambiguous")),
        *([] if rows else [html.text("Nothing goes by this name.")]),
        *([html.text(f"Did you mean {listed['nearest']}?")] if "nearest" in listed else []),
        *([html.table(["Entry", "In a sentence"], rows)] if rows else []),
    )


def page_of(kind: str, id: str) -> str:
    """Return the address of an entry's page."""
    return f"/docs/{id}" if kind == "calculators" else f"/docs/catalogue/{kind}/{id}"


def entry_page(lw: Catalogue, kind: str, id: str) -> bytes:
    """Return what is known of one entry, each number with how it is known and where it is from."""
    item = lw.item(kind, id)
    held = {number["path"].split("/")[2] for number in item.get("numbers", ())}
    said = {**item.get("content", {}), **item}
    facts = {name: value for name, value in said.items() if name not in _ELSEWHERE | held}
    numbers = list(_numbers(lw, item, lw.item(kind, id, "us")))
    sources = [(html.link(page_of("source", s["id"]), s["title"]), _about(s)) for s in item.get("sources", ())]
    return html.page(
        item["title"],
        html.text(item["summary"]),
        f"<p>{html.link(f'/v1/catalogue/{kind}/{id}', 'The same as JSON')}, "
        f"{html.link(f'/docs/catalogue/{kind}', f'all of {kind}')}</p>",
        *(
            [
                html.table(
                    ["Field", "What it says"], [(_words(name), _value(value, name)) for name, value in facts.items()]
                )
            ]
            if facts
            else []
        ),
        *([html.heading("Numbers"), _known(item["numbers"]), html.table(_HEAD, numbers)] if numbers else []),
        *([html.heading("Sources"), html.table(["Source", "About it"], sources)] if sources else []),
    )


_HEAD = ("What", "Metric", "US customary", "How it is known", "Source")


def _form(kind: str, search: str | None) -> str:
    return (
        f'<form method="get" action="/docs/catalogue/{escape(kind)}"><label for="search">Name, or part of one</label>'
        f'<input id="search" name="search" maxlength="{SEARCH_LENGTH}" value="{escape(search or "")}">'
        "<button>Look up</button></form>"
    )


def _shared(name: Mapping[str, Any] | None) -> Iterator[str]:
    if name is None:
        return
    yield html.note("ambiguous", f"{name['title']} may mean several woods. {name['summary']}")
    rows = [
        (
            html.link(page_of("species", wood["id"]), wood["title"])
            if wood["on_shelf"]
            else escape(f"{wood['title']}, not on this shelf"),
            f"<i>{escape(wood['botanical'])}</i>",
            escape(wood.get("where", "")),
        )
        for wood in name["candidates"]
    ]
    yield html.table(["It may mean", "Botanical name", "Where"], rows)


def _known(numbers: Iterable[Mapping[str, Any]]) -> str:
    kinds = Counter(number["kind"] for number in numbers)
    return html.text(f"{', '.join(f'{count} {kind}' for kind, count in kinds.most_common())}.")


def _numbers(lw: Catalogue, item: Mapping[str, Any], us: Mapping[str, Any]) -> Iterator[tuple[str, ...]]:
    for number, other in zip(item.get("numbers", ()), us.get("numbers", ()), strict=True):
        metric, customary = _quantity(number), _quantity(other)
        source = source_of(lw, number["source"], number.get("where", ""))
        since = f" from {number['starts']}" if "starts" in number else ""
        yield (
            f"<code>{escape('/'.join(number['path'].split('/')[2:]))}</code> {escape(number['title'] + since)}",
            escape(metric),
            escape(customary if customary != metric else ""),
            escape(number["kind"]),
            source + (f"; {escape(number['note'])}" if "note" in number else ""),
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
    told += [source["note"]] if "note" in source else []
    address = [html.link(source["url"], source["url"])] if "url" in source else []
    return ". ".join([*map(escape, told), *address])


def _words(name: str) -> str:
    return escape(name.replace("_", " ").replace("-", " ").capitalize())


def _value(value: Any, name: str = "") -> str:
    """Return any piece of an entry as HTML: text, a list, or a table in the cell."""
    if name == "source" and isinstance(value, str):
        return html.link(page_of("source", value), value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return html.table(
            ["Field", "What it says"], [(_words(name), _value(part, name)) for name, part in value.items()]
        )
    if isinstance(value, list | tuple):
        if value and all(isinstance(part, Mapping) for part in value):
            names = list(dict.fromkeys(name for part in value for name in part))
            rows = [[_value(part[name], name) if name in part else "" for name in names] for part in value]
            return html.table([name.replace("_", " ").capitalize() for name in names], rows)
        return "<ul>" + "".join(f"<li>{_value(part)}</li>" for part in value) + "</ul>"
    return escape(str(value))
