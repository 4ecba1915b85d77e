"""The frame of every page: templates, navigation, contents, and what a browser may do with it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, cached_property
from typing import TYPE_CHECKING, Any, Final

from latewood.catalogue import Catalogue
from latewood_api.pages import guide

if TYPE_CHECKING:
    from jinja2 import Environment
    from markupsafe import Markup

#: Stands for the address of this server; what is sent has the one it was asked at.
HERE: Final = "http://127.0.0.1:8000"
_HEADING: Final = re.compile(r'<h2 id="([^"]+)">(.*?)</h2>', re.DOTALL)


def policy(*, script: bool = False) -> str:
    """Return the content security policy of a page: what it needs from this server, and nothing else."""
    rules = [
        "default-src 'none'",
        "style-src 'self'",
        # The icon is empty and inside each page, and so are pictures.
        "img-src data:",
        *(["script-src 'self'", "connect-src 'self'"] if script else []),
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    ]
    return "; ".join(rules)


def page_of(kind: str, id: str) -> str:
    """Return the address of an entry's page."""
    return f"/docs/{id}" if kind == "calculators" else f"/docs/catalogue/{kind}/{id}"


def words(name: str) -> str:
    """Return an id or the name of a field as a label."""
    return name.replace("_", " ").replace("-", " ").replace(".", ", ").capitalize()


def source_of(lw: Catalogue, id: str, where: str) -> dict[str, str]:
    """Return a source by its title, with the address of its record, and the place in it."""
    known = lw.shelf.records("source")
    told = {"title": known[id].title, "to": page_of("source", id)} if id in known else {"title": id}
    return told | {"where": where}


@cache
def _environment() -> Environment:
    # Here, because a server that is asked for no page needs none.
    from jinja2 import Environment, PackageLoader, StrictUndefined

    found = Environment(
        loader=PackageLoader("latewood_api.pages"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.filters["words"] = words
    found.globals["page_of"] = page_of
    return found


def fragment(template: str, **context: Any) -> Markup:
    """Return a part of a page."""
    from markupsafe import Markup

    # Jinja has escaped what is put in.
    return Markup(_environment().get_template(f"{template}.html").render(context))  # noqa: S704


class Site:
    """The pages about one engine: what each has around its own part."""

    def __init__(self, lw: Catalogue) -> None:
        self.lw = lw

    @cached_property
    def kinds(self) -> Mapping[str, str]:
        """Titles of the kinds of entry."""
        return {one["id"]: one["title"] for one in self.lw.counts()["items"]}

    @cached_property
    def navigation(self) -> Mapping[str, list[tuple[str, str]]]:
        """Addresses and titles by heading."""
        return {
            "Start": [
                ("/docs", "All pages"),
                ("/docs/plan", "Plan a job"),
                ("/docs/findings", "Findings"),
                ("/docs/console", "API console"),
                ("/problems", "Problems"),
            ],
            "Guides": [(f"/docs/guide/{name}", title) for name, title in guide.titles().items()],
            "Calculators": [(page_of("calculators", c.id), c.title) for c in self.lw.calculators.values()],
            "Catalogue": [(f"/docs/catalogue/{kind}", title) for kind, title in self.kinds.items()],
        }

    def page(self, template: str, title: str, *, script: str = "", **context: Any) -> bytes:
        """Return a whole page, its contents made from its headings."""
        from markupsafe import Markup

        body = fragment(template, title=title, lw=self.lw, **context)
        contents = [(id, Markup(text).striptags()) for id, text in _HEADING.findall(body)]  # noqa: S704
        frame = fragment("frame", title=title, body=body, contents=contents, navigation=self.navigation, script=script)
        return f"{frame}\n".encode()
