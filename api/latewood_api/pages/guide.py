"""The guides: Markdown files of `docs`, as pages."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from markdown_it.token import Token

_PACKAGE: Final = Path(__file__).parents[1]
#: Where they are: a wheel carries them inside the package, a checkout has them at its top.
PLACES: Final = (_PACKAGE / "docs", _PACKAGE.parents[1] / "docs")


@cache
def files() -> dict[str, Path]:
    """Return the files by the last step of their address: first those of `guide`, then the rest."""
    root = next(place for place in PLACES if place.exists())
    return {path.stem: path for path in (*sorted(root.glob("guide/*.md")), *sorted(root.glob("*.md")))}


@cache
def titles() -> dict[str, str]:
    """Return their titles by the last step of their address."""
    return {name: path.read_text("utf-8").partition("\n")[0].lstrip("# ") for name, path in files().items()}


def html(name: str) -> str:
    """Return what stands below the title of a guide, as HTML; markup in the file stays text."""
    # Here, because a server that is asked for no guide needs none.
    from markdown_it import MarkdownIt

    reader = MarkdownIt("commonmark", {"html": False}).enable("table")
    tokens = reader.parse(files()[name].read_text("utf-8").partition("\n")[2])
    seen: set[str] = set()
    for at, token in enumerate(tokens):
        if token.type == "heading_open":
            token.attrSet("id", _anchor(tokens[at + 1].content, seen))
        for child in token.children or ():
            _follow(child)
    text = str(reader.renderer.render(tokens, reader.options, {})).replace("<pre>", '<pre tabindex="0">')
    # What is wider than a phone is moved sideways, by keys too.
    opened = '<div class="scroll" role="group" aria-label="Table" tabindex="0"><table>'
    return text.replace("<table>", opened).replace("</table>", "</table></div>")


def _anchor(heading: str, seen: set[str]) -> str:
    """Return a name to link to, as those who read the file on a forge have it."""
    name = "-".join(re.sub(r"[^\w\s-]", "", heading.lower()).split())
    while name in seen:
        name += "-1"
    seen.add(name)
    return name


def _follow(token: Token) -> None:
    """Let a link to another guide lead to its page; a link to any other file of the tree leads nowhere here."""
    if token.type != "link_open":
        return
    to: Any = token.attrs["href"]
    path, mark, anchor = str(to).partition("#")
    if ":" in path or path.startswith("/") or not path:
        return
    name = Path(path).stem
    if path.endswith(".md") and name in files():
        token.attrs["href"] = f"/docs/guide/{name}{mark}{anchor}"
    else:
        del token.attrs["href"]
