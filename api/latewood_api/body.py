"""Reading a JSON body: declared rightly, small enough, in time."""

from __future__ import annotations

import asyncio
from typing import Any, Final

from litestar import Request

from latewood_api.answers import CSV
from latewood_api.problem import refusal

MAX_BYTES: Final = 1_000_000
#: A table is read as it comes and kept nowhere whole; the bound is on how long one may hold a place.
MAX_TABLE_BYTES: Final = 200_000_000
#: A body of this size takes a second on a slow line; whoever needs longer is holding the connection.
DEADLINE: Final = 10.0
#: Bytes that incomplete bodies may hold together. Beyond, the larger of them wait, within their time: who opens many
#: and finishes none gets no more memory by it, and who sends an ordinary one still gets in.
WAITING: Final = 32_000_000
SMALL: Final = 8_192
TYPE: Final = "application/json"
_WORDS: Final = {TYPE: "JSON", CSV: "CSV"}


def check_type(request: Request[Any, Any, Any], media: str = TYPE) -> None:
    """Refuse a body that is compressed or not declared as the type its path takes, in UTF-8."""
    if request.headers.get("content-encoding"):
        raise refusal(
            "unsupported-media-type",
            "compressed bodies are not read",
            expected="a body without Content-Encoding",
            accept_post=media,
            accept_encoding="identity",
        )
    declared, *parameters = request.headers.get("content-type", "").lower().split(";")
    charset = {p.strip().replace('"', "") for p in parameters if p.strip()} - {"charset=utf-8", "charset=utf8"}
    if declared.strip() != media or any(p.startswith("charset=") for p in charset):
        raise refusal(
            "unsupported-media-type",
            f"the body is not declared as {_WORDS[media]} in UTF-8",
            expected=f"Content-Type: {media}",
            accept_post=media,
        )


def check_length(request: Request[Any, Any, Any], limit: int) -> None:
    """Refuse a body that says it is larger than its path takes."""
    length = request.headers.get("content-length", "")
    if length.isascii() and length.isdigit() and (len(length) > 12 or int(length) > limit):
        raise _too_large(limit)


async def read(request: Request[Any, Any, Any]) -> bytes:
    """Return the body, refusing one that is too large or too slow."""
    check_length(request, MAX_BYTES)
    pieces: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(DEADLINE):
            while True:
                while size > SMALL and _room.held > WAITING:
                    await asyncio.sleep(0.05)
                message = await request.receive()
                if message["type"] != "http.request":
                    raise refusal("malformed", "the connection was closed before the body was complete")
                piece = message.get("body", b"")
                size += len(piece)
                _room.held += len(piece)
                if size > MAX_BYTES:
                    raise _too_large(MAX_BYTES)
                pieces.append(piece)
                if not message.get("more_body"):
                    return b"".join(pieces)
    except TimeoutError:
        raise refusal(
            "too-slow", "the body was not complete in time", expected=f"within {DEADLINE:g} s", connection="close"
        ) from None
    finally:
        _room.held -= size


class _Room:
    """What bodies that are not complete hold together in this process."""

    held = 0


_room = _Room()


async def content(request: Request[Any, Any, Any]) -> bytes:
    """Return the body of a request that must be JSON."""
    check_type(request)
    return await read(request)


def _too_large(limit: int) -> Exception:
    return refusal("too-large", "the body is too large", expected=f"at most {limit} bytes", connection="close")
