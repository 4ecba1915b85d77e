"""What every answer owes, whatever answered: outside the framework, so that its own 404 and 405 have it too."""

from __future__ import annotations

import re
import uuid
from typing import Any, Final
from urllib.parse import quote

from litestar.enums import ScopeType
from litestar.types import ASGIApp, Message, Receive, Scope, Send

from latewood_api import compress, errors
from latewood_api.pages.layout import Site

#: A request id worth repeating: long enough to be one, short enough to log, harmless in a header.
_REQUEST_ID = re.compile(rb"[A-Za-z0-9][A-Za-z0-9._-]{0,127}")

#: The API holds no secrets and no sessions, so any page may call it, one opened from a file (Origin: null) too.
ALWAYS: Final = (
    (b"access-control-allow-origin", b"*"),
    (b"access-control-expose-headers", b"ETag, Link, X-Request-Id, Allow, Accept-Post, Retry-After"),
    (b"link", b'</openapi.json>; rel="service-desc"; type="application/json", </docs>; rel="service-doc"'),
    # Not which server, in which version: that helps only who looks for a way in.
    (b"server", b"latewood"),
    (b"vary", b"Accept, Accept-Encoding, Accept-Language"),
    (b"x-content-type-options", b"nosniff"),
)
PREFLIGHT: Final = (
    (b"access-control-allow-headers", b"Accept, Content-Type, If-None-Match, X-Request-Id"),
    (b"access-control-max-age", b"86400"),
)
_OWN: Final = frozenset({b"x-request-id", b"allow", *(name for name, _ in ALWAYS)})


class ResponseHeaders:
    """Wraps the application: request ids, HEAD, OPTIONS, cross-origin headers, one spelling of each path."""

    def __init__(self, app: ASGIApp, paths: list[str], site: Site) -> None:
        self.app = app
        self.site = site
        self.paths = paths

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != ScopeType.HTTP:
            await self.app(scope, receive, send)
            return
        method, path = str(scope["method"]), scope["path"]
        request_id = _request_id(scope)
        head = method == "HEAD"
        packs = compress.takes_gzip(scope["headers"])
        asked, marked = compress.unmarked(scope["headers"])
        inner: dict[str, Any] = {
            **scope,
            "headers": asked,
            "method": "GET" if head else method,
            "instance": quote(path[:256], safe="/:@!$&'()*+,;=~-._", errors="replace"),
            "request_id": request_id.decode(),
        }
        started = False
        begun: Any = None

        async def send_on(message: Message) -> None:
            nonlocal started, begun
            if message["type"] == "http.response.start":
                begun = message
                return
            if message["type"] == "http.response.body":
                body = message.get("body", b"")
                if begun is not None:
                    status, found = begun["status"], list(begun.get("headers", ()))
                    if status == 304:
                        found = compress.restored(found, marked)
                    elif packs and not message.get("more_body"):
                        found, body = compress.compressed(status, found, body)
                    headers = _headers(found, request_id, preflight=method == "OPTIONS")
                    started = True
                    await send({**begun, "headers": headers})  # type: ignore[arg-type]  # a start, as it came
                    begun = None
                message = {**message, "body": b"" if head else body}
            await send(message)

        try:
            if path != "/" and (path.endswith("/") or "//" in path or b"%2f" in (scope.get("raw_path") or b"").lower()):
                refused = errors.no_such_path(path, self.paths)
                accepted = next(
                    (value.decode("latin-1") for name, value in scope["headers"] if name == b"accept"), None
                )
                if errors.wants_page(path, accepted):
                    written = errors.as_page(self.site, refused, path)
                else:
                    written = errors.write(refused, path=path, instance=inner["instance"])
                await written.bare()(inner, receive, send_on)  # type: ignore[arg-type]  # a scope with two keys of ours
            else:
                await self.app(inner, receive, send_on)  # type: ignore[arg-type]  # a scope with two keys of ours
        except Exception as error:
            refused = errors.failure(error, inner["request_id"])
            if started:
                raise
            response = errors.write(refused, path=path, instance=inner["instance"]).bare()
            await response(inner, receive, send_on)  # type: ignore[arg-type]  # a scope with two keys of ours


def _request_id(scope: Any) -> bytes:
    """Return the caller's id where it is well formed, a new one otherwise."""
    for name, value in scope["headers"]:
        if name.lower() == b"x-request-id" and _REQUEST_ID.fullmatch(value):
            return bytes(value)
    return uuid.uuid4().hex.encode()


def _headers(found: list[tuple[bytes, bytes]], request_id: bytes, *, preflight: bool) -> list[tuple[bytes, bytes]]:
    kept = [(name, value) for name, value in found if name.lower() not in _OWN]
    allow = next((value for name, value in found if name.lower() == b"allow"), None)
    if allow is not None:
        methods = {method.strip() for method in allow.split(b",")}
        # The framework does not know that HEAD is answered wherever GET is.
        methods |= {b"HEAD"} if b"GET" in methods else set()
        listed = b", ".join(sorted(methods))
        kept.append((b"allow", listed))
        if preflight:
            kept.append((b"access-control-allow-methods", listed))
            if b"POST" in methods and not any(name.lower() == b"accept-post" for name, _ in kept):
                kept.append((b"accept-post", b"application/json"))
    if preflight:
        kept.extend(PREFLIGHT)
    return [*kept, *ALWAYS, (b"x-request-id", request_id)]
