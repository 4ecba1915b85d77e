"""Reading a JSON body: declared rightly, small enough, in time, then decoded strictly."""

from __future__ import annotations

import asyncio
from typing import Any, Final

from litestar import Request

from latewood import strict_json
from latewood_api.problem import refusal

MAX_BYTES: Final = 1_000_000
#: A body of this size takes a second on a slow line; whoever needs longer is holding the connection.
DEADLINE: Final = 10.0
TYPE: Final = "application/json"


def check_type(request: Request[Any, Any, Any]) -> None:
    """Refuse a body that is compressed or not declared as JSON in UTF-8."""
    if request.headers.get("content-encoding"):
        raise refusal(
            "unsupported-media-type",
            "compressed bodies are not read",
            expected="a body without Content-Encoding",
            accept_post=TYPE,
            accept_encoding="identity",
        )
    declared, *parameters = request.headers.get("content-type", "").lower().split(";")
    charset = {p.strip().replace('"', "") for p in parameters if p.strip()} - {"charset=utf-8", "charset=utf8"}
    if declared.strip() != TYPE or any(p.startswith("charset=") for p in charset):
        raise refusal(
            "unsupported-media-type",
            "the body is not declared as JSON in UTF-8",
            expected=f"Content-Type: {TYPE}",
            accept_post=TYPE,
        )


async def read(request: Request[Any, Any, Any]) -> bytes:
    """Return the body, refusing one that is too large or too slow."""
    length = request.headers.get("content-length", "")
    if length.isascii() and length.isdigit() and (len(length) > 12 or int(length) > MAX_BYTES):
        raise _too_large()
    pieces: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(DEADLINE):
            while True:
                message = await request.receive()
                if message["type"] != "http.request":
                    raise refusal("malformed", "the connection was closed before the body was complete")
                piece = message.get("body", b"")
                size += len(piece)
                if size > MAX_BYTES:
                    raise _too_large()
                pieces.append(piece)
                if not message.get("more_body"):
                    return b"".join(pieces)
    except TimeoutError:
        raise refusal(
            "too-slow", "the body was not complete in time", expected=f"within {DEADLINE:g} s", connection="close"
        ) from None


async def tree(request: Request[Any, Any, Any]) -> Any:
    """Return the decoded JSON of a request."""
    check_type(request)
    return strict_json.decode(await read(request))


def _too_large() -> Exception:
    return refusal("too-large", "the body is too large", expected=f"at most {MAX_BYTES} bytes", connection="close")
