"""Plain pages: one stylesheet inside, no script, nothing from elsewhere."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

STYLE: Final = (
    "body{font:16px/1.5 system-ui,sans-serif;max-width:60rem;margin:0 auto;padding:1rem;color:#1b1b1b;background:#fff}"
    "a{color:#004a8f}table{border-collapse:collapse;width:100%}"
    "td,th{text-align:left;vertical-align:top;padding:.3rem .6rem;border-bottom:1px solid #bbb}"
    "pre{overflow-x:auto;padding:.6rem;border:1px solid #bbb;background:#f6f6f6}code{overflow-wrap:anywhere}"
)
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
POLICY: Final = (
    f"default-src 'none'; style-src 'sha256-{_HASH}'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


def page(title: str, *parts: str) -> bytes:
    """Return a whole page; the parts are HTML."""
    name = escape(title)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f"<title>{name}</title><style>{STYLE}</style></head>\n<body>\n<main>\n<h1>{name}</h1>\n"
        + "\n".join(parts)
        + "\n</main>\n</body></html>\n"
    ).encode()


def text(words: str) -> str:
    """Return paragraphs."""
    return "\n".join(f"<p>{escape(part)}</p>" for part in words.split("\n\n") if part.strip())


def heading(words: str) -> str:
    """Return a section heading."""
    return f"<h2>{escape(words)}</h2>"


def link(address: str, words: str) -> str:
    """Return a link."""
    return f'<a href="{escape(address)}">{escape(words)}</a>'


def code(words: str) -> str:
    """Return a block of text to paste."""
    return f"<pre><code>{escape(words)}</code></pre>"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; its cells are HTML."""
    top = "".join(f'<th scope="col">{escape(word)}</th>' for word in head)
    body = "\n".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows)
    return f"<table><thead><tr>{top}</tr></thead><tbody>\n{body}\n</tbody></table>"
