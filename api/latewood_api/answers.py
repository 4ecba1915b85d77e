"""Answers as bytes: JSON without NaN, entity tags, and 304 for who has the answer already."""

from __future__ import annotations

import hashlib
import math
import re
from typing import Any, Final

import msgspec
from litestar import Request
from litestar.response.base import ASGIResponse

from latewood_api import accept
from latewood_api.problem import refusal

JSON: Final = "application/json"
TEXT: Final = "text/plain"
HTML: Final = "text/html"
CSV: Final = "text/csv"
MARKDOWN: Final = "text/markdown"
SVG: Final = "image/svg+xml"

_encode = msgspec.json.Encoder(decimal_format="string").encode
_TAG = re.compile(r'(?:W/)?("[^"]*")')

AnyRequest = Request[Any, Any, Any]


def to_json(answer: Any) -> bytes:
    """Return an answer as JSON; raise `ValueError` rather than write a number that is not one.

    The encoder writes NaN and infinities as null, so an answer with a null is looked through.
    """
    body = _encode(answer)
    if b"null" in body:
        _refuse_nan(answer)
    return body


def _refuse_nan(answer: Any) -> None:
    waiting = [answer]
    while waiting:
        part = waiting.pop()
        if isinstance(part, float):
            if not math.isfinite(part):
                raise ValueError("an answer holds a number that is not finite")
        elif isinstance(part, dict):
            waiting.extend(part.values())
        elif isinstance(part, list | tuple):
            waiting.extend(part)
        elif isinstance(part, msgspec.Struct):
            waiting.extend(getattr(part, name) for name in part.__struct_fields__)


def check_accept(request: AnyRequest, media: str) -> None:
    """Refuse a request whose Accept header excludes the one representation of its path."""
    if not accept.takes(request.headers.get("accept"), media):
        raise refusal("not-acceptable", "this path has one representation", expected=f"Accept: {media}")


def posted(body: bytes, media: str = JSON) -> ASGIResponse:
    """Return the answer to a calculation sent by POST. It is not kept by caches; sending it again is safe."""
    return ASGIResponse(body=body, media_type=media, headers={"cache-control": "no-store"})


def got(request: AnyRequest, body: bytes, media: str = JSON, *, keep: str = "no-cache", **headers: str) -> ASGIResponse:
    """Return the answer to a GET, or 304 where the caller's copy is still right.

    ``no-cache`` lets a cache keep the answer and makes it ask each time: an update of the engine or of a record
    changes answers without notice.
    """
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    said = {"etag": tag, "cache-control": keep, **named}
    if _has(request.headers.get("if-none-match"), tag):
        return ASGIResponse(status_code=304, headers=said)
    return ASGIResponse(body=body, media_type=media, headers=said)


def _has(header: str | None, tag: str) -> bool:
    """Compare weakly, as If-None-Match wants it (RFC 9110, section 13.1.2)."""
    if not header:
        return False
    return header.strip() == "*" or tag in _TAG.findall(header)
