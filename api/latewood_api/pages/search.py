"""Search over all pages, on the server, so that it needs no script."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Final, NamedTuple

from latewood.problems import fold, nearest
from latewood_api.pages import guide
from latewood_api.pages.layout import Site, page_of
from latewood_api.problem import KINDS

#: Pages that are listed.
MOST: Final = 30


class Found(NamedTuple):
    """A page, and what it is searched by."""

    address: str
    title: str
    about: str
    of: str
    text: str


@cache
def pages(site: Site) -> list[Found]:
    """Return all pages."""
    return [Found(*one, fold(" ".join(one))) for one in _pages(site)]


def _pages(site: Site) -> Iterator[tuple[str, str, str, str]]:
    for heading, listed in site.navigation.items():
        if heading != "Calculators":
            yield from ((address, title, "", heading) for address, title in listed)
    for slug, kind in KINDS.items():
        yield f"/problems/{slug}", kind.title, kind.meaning, "Problem"
    for kind_id in ("calculators", *(one for one in site.lw.kinds() if one != "calculators")):
        for one in site.lw.items(kind_id)["items"]:
            yield page_of(kind_id, one["id"]), one["title"], one["summary"], site.kinds[kind_id]
    for name, path in guide.files().items():
        yield f"/docs/guide/{name}", guide.titles()[name], path.read_text("utf-8"), "Guide"


def search_page(site: Site, text: str) -> bytes:
    """Return the pages that have every word, those first whose title begins with them."""
    wanted = fold(text)
    parts = wanted.split()
    found = [one for one in pages(site) if parts and all(part in one.text for part in parts)]
    found = [*{one.address: one for one in found}.values()]
    found.sort(key=lambda one: (not fold(one.title).startswith(wanted), wanted not in fold(one.title)))
    return site.page(
        "search",
        "Search",
        text=text,
        found=[(one.address, one.title[:120], _about(one)) for one in found[:MOST]],
        count=len(found),
        close=nearest_page(site, text) if text and not found else None,
    )


def _about(one: Found) -> str:
    return f"{one.of}. {one.about}"[:200] if one.of != "Guide" else one.of


def nearest_page(site: Site, text: str) -> tuple[str, str] | None:
    """Return address and title of the page whose address ends, or is, most like this."""
    by_name = {one.address.rpartition("/")[2]: one for one in reversed(pages(site))}
    by_name |= {one.address: one for one in pages(site) if one.address.count("/") < 4}
    close = nearest(text[:120], by_name) or nearest(text[:120].rstrip("/").rpartition("/")[2], by_name)
    return (by_name[close].address, by_name[close].title) if close else None
