"""One request and its answer: what ASGI reads of the one, and the bytes of the other."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from http import HTTPStatus
from typing import Any, Final, Protocol

from latewood_api.serving import limits

log = logging.getLogger("latewood_api")

Scope = dict[str, Any]
Message = dict[str, Any]
App = Callable[..., Any]

_PHRASES: Final = {status.value: f"HTTP/1.1 {status.value} {status.phrase}\r\n".encode() for status in HTTPStatus}
_BODILESS: Final = (204, 304)


class Line(Protocol):
    """The connection an exchange takes place on."""

    def write(self, data: bytes) -> None:
        """Send bytes."""

    async def room(self) -> None:
        """Return once the client has taken most of what was sent."""

    def taken(self) -> None:
        """Note that what had come of the body was read."""

    def last(self) -> bool:
        """Say whether the server is stopping and nothing else was asked on this connection."""

    @property
    def date(self) -> bytes:
        """The Date header's value."""


class Exchange:
    """One request, and the answer as far as it is written."""

    def __init__(self, line: Line, scope: Scope, *, keep_alive: bool, expects: bool = False) -> None:
        self.scope = scope
        #: Whether the body is still coming, and what came of it and was not read yet.
        self.more = True
        self.size = 0
        #: Whether the connection ends with this answer, and whether the answer is whole.
        self.close = not keep_alive
        self.finished = False
        self._line = line
        self._expects = expects
        self._pieces: list[bytes] = []
        self._told = self._gone = self._begun = self._chunked = False
        self._news = asyncio.Event()
        self._start: Message = {}

    def feed(self, piece: bytes) -> None:
        """Take in a piece of the body."""
        self._pieces.append(piece)
        self.size += len(piece)
        self._news.set()

    def complete(self) -> None:
        """Note that the body is whole."""
        self.more = False
        self._news.set()

    def leave(self) -> None:
        """Note that the rest of the body will not come, or that nobody waits for the answer."""
        self._gone = self.close = True
        self._news.set()

    async def run(self, app: App) -> None:
        """Let the application answer."""
        try:
            await app(self.scope, self.receive, self.send)
        except Exception:
            log.exception("an answer broke off")

    async def receive(self) -> Message:
        """Return what came of the body since last asked, or that the client has gone."""
        if self._expects and self.more and not self._pieces and not self._begun:
            self._line.write(b"HTTP/1.1 100 Continue\r\n\r\n")
        self._expects = False
        while not self._pieces and not self._gone and (self.more or self._told):
            self._news.clear()
            await self._news.wait()
        if not self._pieces and (self._told or self.more):
            return {"type": "http.disconnect"}
        body = b"".join(self._pieces)
        self._pieces.clear()
        self.size = 0
        self._told = not self.more
        self._line.taken()
        return {"type": "http.request", "body": body, "more_body": self.more}

    async def send(self, message: Message) -> None:
        """Write a part of the answer."""
        if message["type"] == "http.response.start":
            self._start = message
            return
        body, more = message.get("body", b""), message.get("more_body", False)
        head = b"" if self._begun else self._head(len(body), more=more)
        empty = self.scope["method"] == "HEAD" or self._start["status"] in _BODILESS
        if empty:
            body = b""
        elif self._chunked:
            body = b"".join([b"%x\r\n%b\r\n" % (len(body), body) if body else b"", b"" if more else b"0\r\n\r\n"])
        if len(body) <= limits.WRITE:
            self._line.write(head + body)
        else:
            # In pieces, so that a client who takes nothing costs one of them and not a copy of the whole.
            self._line.write(head)
            for at in range(0, len(body), limits.WRITE):
                await self._line.room()
                self._line.write(body[at : at + limits.WRITE])
        self.finished = not more
        if more:
            await self._line.room()

    def _head(self, length: int, *, more: bool) -> bytes:
        self._begun = True
        # Before the body was read whole, the next request cannot be found: after it would come the rest of this one.
        self.close = self.close or self.more or self._line.last()
        status = self._start["status"]
        lines = [_PHRASES.get(status, b"HTTP/1.1 %d \r\n" % status), b"date: ", self._line.date, b"\r\n"]
        sized = self.scope["method"] == "HEAD" or status in _BODILESS
        for name, value in self._start.get("headers", ()):
            if name.lower() == b"connection":
                self.close = self.close or value.lower() == b"close"
                continue
            sized = sized or name.lower() == b"content-length"
            lines += (name, b": ", value, b"\r\n")
        if not sized and not more:
            lines.append(b"content-length: %d\r\n" % length)
        elif not sized and self.scope["http_version"] == "1.1":
            self._chunked = True
            lines.append(b"transfer-encoding: chunked\r\n")
        elif not sized:
            self.close = True
        lines.append(b"connection: close\r\n\r\n" if self.close else b"\r\n")
        return b"".join(lines)
