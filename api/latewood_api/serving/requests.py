"""Finding the requests in the bytes of a connection, within their limits. The parser is llhttp, through httptools."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, Final, Protocol
from urllib.parse import unquote

import httptools

from latewood_api.problem import Refusal, refusal
from latewood_api.serving import limits
from latewood_api.serving.exchange import Exchange, Line, Scope

#: The headers that say how long a body is.
_FRAMING: Final = (b"content-length", b"transfer-encoding")


class Asker(Line, Protocol):
    """The connection requests are found on."""

    def asked(self, exchange: Exchange) -> None:
        """Take a request in, whose body may still be coming."""

    def ends(self) -> tuple[Any, Any]:
        """Return the addresses of the client and of the server."""


class Requests:
    """The requests of one connection, one after the other."""

    def __init__(self, asker: Asker) -> None:
        #: The request whose body is still coming.
        self.incoming: Exchange | None = None
        #: Whether a request has begun whose headers are not complete, and whether no other can follow.
        self.heading = self.over = False
        #: Whether the request asks for another protocol: it is answered as it stands, and is the last.
        self._stays = False
        self._asker = asker
        self._parser = httptools.HttpRequestParser(self)
        self._fed = self._body = 0
        self._url = b""
        self._headers: list[tuple[bytes, bytes]] = []
        self._fault: Refusal | None = None

    def feed(self, piece: bytes) -> None:
        """Take in a small piece; raise `Refusal` where it is not HTTP/1.1, or too much."""
        try:
            try:
                self._parser.feed_data(piece)
            except httptools.HttpParserUpgrade as change:
                self._stay(piece[change.args[0] :])
        except httptools.HttpParserError:
            raise self._fault or refusal("malformed", "this is not HTTP/1.1") from None
        self._fed += len(piece)
        if self._fed > limits.HEAD_BYTES + limits.FRAMING * self._body:
            raise _too_large(f"{limits.HEAD_BYTES} bytes")
        if self._stays and self.incoming is None:
            self.over = True

    def _stay(self, rest: bytes) -> None:
        """Read on as before: there is no protocol to change to, and the parser takes the body for the other one's."""
        self._stays = True
        if self.incoming is not None:
            self._parser = httptools.HttpRequestParser(
                SimpleNamespace(on_body=self.on_body, on_message_complete=self.on_message_complete)
            )
            framing = b"".join(b"%b: %b\r\n" % header for header in self._headers if header[0] in _FRAMING)
            self._parser.feed_data(b"POST / HTTP/1.1\r\n" + framing + b"\r\n" + rest)

    def close(self) -> None:
        """Let go of the parser, which holds on to this object."""
        del self._parser

    def on_message_begin(self) -> None:
        """Begin a request."""
        self.heading = True
        self._fed = self._body = 0
        self._url = b""
        self._headers = []

    def on_url(self, part: bytes) -> None:
        """Take in a part of the address."""
        self._url += part

    def on_header(self, name: bytes, value: bytes) -> None:
        """Take in a header, or a trailer, which is like one."""
        if len(self._headers) >= limits.HEADERS:
            self._fault = _too_large(f"{limits.HEADERS} headers")
            raise ValueError
        self._headers.append((name.lower(), value))

    def on_headers_complete(self) -> None:
        """Hand the request on."""
        self.heading = False
        version = self._parser.get_http_version()
        hosts = sum(name == b"host" for name, _ in self._headers)
        # RFC 9112, section 3.2.
        if version not in ("1.0", "1.1") or hosts > 1 or (version == "1.1" and hosts == 0):
            self._fault = refusal("malformed", "this is not HTTP/1.1 with one Host header")
            raise ValueError
        path, query = self._address()
        method = self._parser.get_method().decode("ascii")
        latest = version == "1.1"
        self.incoming = Exchange(
            self._asker,
            scope(self._asker, method, path, raw=self._url, query=query, headers=[*self._headers], version=version),
            keep_alive=latest and self._parser.should_keep_alive() and not self._parser.should_upgrade(),
            expects=latest and any(n == b"expect" and v.lower() == b"100-continue" for n, v in self._headers),
        )
        self._asker.asked(self.incoming)

    def on_body(self, piece: bytes) -> None:
        """Take in a part of a body."""
        self._body += len(piece)
        if self.incoming is not None:
            self.incoming.feed(piece)

    def on_message_complete(self) -> None:
        """End a request."""
        if self._parser.should_upgrade() and any(name in _FRAMING for name, _ in self._headers):
            return
        if self.incoming is not None:
            self.incoming.complete()
        self.incoming = None
        self._fed = self._body = 0

    def _address(self) -> tuple[str, bytes]:
        if self._url == b"*":
            return "*", b""
        try:
            found = httptools.parse_url(self._url)
        except httptools.HttpParserInvalidURLError:
            self._fault = refusal("malformed", "the address is not one")
            raise
        self._url = found.path or b"/"
        return unquote(self._url.decode("latin-1")), found.query or b""


def scope(
    asker: Asker,
    method: str,
    path: str,
    *,
    raw: bytes = b"/",
    query: bytes = b"",
    headers: list[tuple[bytes, bytes]] | None = None,
    version: str = "1.1",
) -> Scope:
    """Return what ASGI tells an application of a request."""
    client, server = asker.ends()
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": version,
        "method": method,
        "scheme": "http",
        "path": path,
        "raw_path": raw,
        "query_string": query,
        "root_path": "",
        "headers": headers or [],
        "client": client,
        "server": server,
        "state": {},
    }


def _too_large(most: str) -> Refusal:
    return refusal("head-too-large", "the request line and headers are too large", expected=f"at most {most}")
