"""Plain pages: one stylesheet inside, nothing from elsewhere, and a script on one page only."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterable, Sequence
from html import escape
from typing import Final

#: Within main only: what a script draws after it brings its own.
STYLE: Final = (
    "body{font:16px/1.5 system-ui,sans-serif;max-width:60rem;margin:0 auto;padding:1rem;color:#1b1b1b;background:#fff}"
    "main a{color:#004a8f}main table{border-collapse:collapse;width:100%}"
    "main td,main th{text-align:left;vertical-align:top;padding:.3rem .6rem;border-bottom:1px solid #bbb}"
    "main pre{overflow-x:auto;padding:.6rem;border:1px solid #bbb;background:#f6f6f6}main code{overflow-wrap:anywhere}"
    "main form,main form details div.more{display:grid;grid-template-columns:minmax(8rem,14rem) 1fr;gap:.3rem .8rem}"
    "main form{align-items:baseline}main form details{grid-column:1/-1}main form small{display:block}"
    "main input,main select{font:inherit;width:100%;max-width:24rem;box-sizing:border-box}"
    "main button{font:inherit;grid-column:2;justify-self:start;padding:.2rem 1rem}"
    "main .danger,main .stop,main .missed{border-left:.3rem solid #a40000;padding-left:.6rem}"
)
_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()


def policy(*, forms: bool = False, script: bool = False) -> str:
    """Return the content security policy of a page: what it needs from this server, and nothing else."""
    rules = [
        "default-src 'none'",
        f"style-src 'sha256-{_HASH}'" + (" 'self'" if script else ""),
        # The icon of every page is empty and inside it; what the script draws has its arrows inside its stylesheet.
        "img-src data:",
        *(["script-src 'self'", "connect-src 'self'"] if script else []),
        "base-uri 'none'",
        f"form-action {_quoted('self' if forms else 'none')}",
        "frame-ancestors 'none'",
    ]
    return "; ".join(rules)


def _quoted(word: str) -> str:
    return f"'{word}'"


def page(title: str, *parts: str, head: str = "", after: str = "") -> bytes:
    """Return a whole page; the parts, and what the head has more and what comes after them, are HTML."""
    name = escape(title)
    return (
        '<!doctype html>\n<html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        f'<title>{name}</title><link rel="icon" href="data:,">{head}<style>{STYLE}</style></head>'
        f"\n<body>\n<main>\n<h1>{name}</h1>\n" + "\n".join(parts) + f"\n</main>\n{after}</body></html>\n"
    ).encode()


def text(words: str) -> str:
    """Return paragraphs."""
    return "\n".join(f"<p>{escape(part)}</p>" for part in words.split("\n\n") if part.strip())


def heading(words: str) -> str:
    """Return a section heading, with a name to link to."""
    return f'<h2 id="{escape("-".join(words.lower().split()))}">{escape(words)}</h2>'


def note(severity: str, words: str) -> str:
    """Return a paragraph that begins with how grave it is."""
    return f'<p class="{escape(severity)}"><strong>{escape(severity)}</strong>: {escape(words)}</p>'


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
