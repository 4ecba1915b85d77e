"""One connection: its requests are handed to the application one after the other, each within its limits.

What is no request, or too large or too slow, is answered by the application too, as a request that carries its
refusal, so that every answer is of one kind.
"""

from __future__ import annotations

import asyncio
import math
from collections import deque
from typing import Any, Protocol, cast

from latewood_api.problem import Refusal, refusal
from latewood_api.serving import limits
from latewood_api.serving.exchange import App, Exchange
from latewood_api.serving.requests import Requests, scope


class House(Protocol):
    """The worker a connection belongs to, as far as a connection knows it."""

    app: App
    buffer: bytearray
    date: bytes
    stopping: bool
    loop: asyncio.AbstractEventLoop

    def entered(self, connection: Connection) -> None:
        """Note a new connection."""

    def left(self, connection: Connection) -> None:
        """Note that a connection has ended."""

    def rests(self, connection: Connection) -> None:
        """Note that a connection waits for a request."""

    def works(self, connection: Connection) -> None:
        """Note that a connection waits for an answer."""


class Connection(asyncio.BufferedProtocol):
    """One client's connection."""

    def __init__(self, house: House) -> None:
        self._house = house
        #: When the connection ends unless something happens before.
        self.deadline = math.inf
        self._transport: asyncio.Transport
        self._requests: Requests | None = None
        self._held = b""
        self._asked: deque[Exchange] = deque()
        self._current: Exchange | None = None
        self._task: asyncio.Task[None] | None = None
        self._deaf = self._ended = self._parting = self._lost = False
        self._begun = False
        self._dropped = 0
        self._writable: asyncio.Event | None = None
        self._written = self._mark = 0
        self._marked = 0.0

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Begin to wait for a request."""
        self._transport = cast("asyncio.Transport", transport)
        self._transport.set_write_buffer_limits(high=limits.WRITE)
        self._house.entered(self)
        self._wait(limits.HEAD_SECONDS)

    def connection_lost(self, exc: Exception | None) -> None:
        """Tell everyone who waits for this client."""
        self._deaf = self._lost = True
        for exchange in (self._current, *self._asked):
            if exchange is not None:
                exchange.leave()
        self._asked.clear()
        self._held = b""
        if self._requests is not None:
            self._requests.close()
        self.resume_writing()
        self._house.left(self)

    # -- reading

    def get_buffer(self, sizehint: int) -> bytearray:
        """Return where to read to: a buffer all connections share, since it is emptied before the next one reads."""
        return self._house.buffer

    def buffer_updated(self, nbytes: int) -> None:
        """Take in what was read."""
        if self._deaf:
            self._dropped += nbytes
            if self._dropped > limits.LINGER_BYTES:
                self._transport.abort()
            return
        if self._current is None and not self._begun:
            self._begun = True
            self.deadline = self._house.loop.time() + limits.HEAD_SECONDS
        self._held += self._house.buffer[:nbytes]
        self._read()

    def eof_received(self) -> bool:
        """Go on answering a client that has only finished sending."""
        self._ended = True
        if (incoming := self._incoming()) is not None:
            incoming.leave()
        return self._current is not None and not self._parting

    def _read(self) -> None:
        """Parse what is held, up to one request beyond the one that is being answered."""
        while self._held and not self._deaf and not self._asked and not self._full():
            piece, self._held = self._held[: limits.SLICE], self._held[limits.SLICE :]
            self._feed(piece)
        if self._held or self._asked or self._full():
            self._transport.pause_reading()
        else:
            self._transport.resume_reading()

    def _incoming(self) -> Exchange | None:
        return self._requests.incoming if self._requests is not None else None

    def _heading(self) -> bool:
        return self._requests is not None and self._requests.heading

    def _full(self) -> bool:
        incoming = self._incoming()
        return incoming is not None and incoming.size > limits.READ

    def _feed(self, piece: bytes) -> None:
        self._requests = self._requests or Requests(self)
        try:
            self._requests.feed(piece)
        except Refusal as refused:
            self._spoilt(refused)
        if self._requests.over:
            self._deaf = True
            self._held = b""

    def _spoilt(self, refused: Refusal) -> None:
        """Read no further: what follows has no meaning."""
        self._deaf = True
        self._held = b""
        if (incoming := self._incoming()) is not None:
            incoming.leave()
            return
        self.asked(Exchange(self, {**scope(self, "GET", "/"), "refusal": refused}, keep_alive=False))

    # -- answering

    def ends(self) -> tuple[Any, Any]:
        """Return the addresses of the client and of the server."""
        named = ("peername", "sockname")
        client, server = ((self._transport.get_extra_info(name) or ("", 0))[:2] for name in named)
        return client, server

    def asked(self, exchange: Exchange) -> None:
        """Take a request in: it is answered once those before it are."""
        if self._current is None:
            self._begin(exchange)
        else:
            self._asked.append(exchange)

    def _begin(self, exchange: Exchange) -> None:
        self._current = exchange
        self._begun = False
        self.deadline = math.inf
        self._house.works(self)
        self._task = self._house.loop.create_task(exchange.run(self._house.app))
        self._task.add_done_callback(self._answered)

    def _answered(self, task: asyncio.Task[None]) -> None:
        exchange, self._current, self._task = self._current, None, None
        if self._lost:
            return
        if exchange is None or not exchange.finished or task.cancelled():
            # Whoever reads an answer without its end takes it for the fault it is.
            self._transport.abort()
        elif exchange.close:
            self._part()
        elif self._asked:
            self._begin(self._asked.popleft())
            self._read()
        elif self._ended:
            self._transport.close()
        else:
            self._wait(limits.HEAD_SECONDS if self._heading() else limits.IDLE_SECONDS)
            self._begun = self._heading()
            self._read()

    def write(self, data: bytes) -> None:
        """Send bytes."""
        if data and not self._transport.is_closing():
            self._transport.write(data)
            self._written += len(data)

    async def room(self) -> None:
        """Return once the client has taken most of what was sent."""
        if self._writable is not None:
            await self._writable.wait()

    def taken(self) -> None:
        """Note that what had come of the body was read."""
        if self._held or self._asked or self._incoming() is not None:
            self._read()

    def last(self) -> bool:
        """Say whether the server is stopping and nothing else was asked on this connection."""
        return self._house.stopping and not self._held and not self._asked and not self._heading()

    @property
    def date(self) -> bytes:
        """The Date header's value."""
        return self._house.date

    def pause_writing(self) -> None:
        """Note that the client takes its answer more slowly than it is written."""
        self._writable = self._writable or asyncio.Event()
        self._writable.clear()

    def resume_writing(self) -> None:
        """Note that the client has caught up."""
        if self._writable is not None:
            self._writable.set()

    # -- ending

    def _wait(self, seconds: float) -> None:
        self.deadline = self._house.loop.time() + seconds
        self._house.rests(self)

    def _part(self) -> None:
        """Say that this was all, and let the client close: cut off here, it may lose an answer it has not read."""
        self._deaf = self._parting = True
        self._held = b""
        if self._ended:
            self._transport.close()
            return
        if self._transport.can_write_eof() and not self._transport.is_closing():
            self._transport.write_eof()
        self._transport.resume_reading()
        self._wait(limits.LINGER_SECONDS)

    def check(self, now: float) -> None:
        """End the connection where the client is late."""
        unsent = self._transport.get_write_buffer_size()
        if unsent:
            if self._parting:
                self.deadline = now + limits.LINGER_SECONDS
            gone = self._written - unsent
            if self._marked == 0 or gone >= self._mark + limits.STALL_BYTES:
                self._mark, self._marked = gone, now
            elif now - self._marked > limits.STALL_SECONDS:
                self._transport.abort()
        else:
            self._marked = 0
        if now >= self.deadline:
            self._late()

    def _late(self) -> None:
        self.deadline = math.inf
        if self._begun and not self._deaf:
            self._spoilt(refusal("too-slow", "the request did not come in time", expected="within 10 s"))
        else:
            self._transport.abort()

    def silent(self) -> bool:
        """Say whether nothing was asked, not even in part."""
        return self._current is None and not self._begun

    def parting(self) -> bool:
        """Say whether the client was told that this was all."""
        return self._parting

    def fileno(self) -> int:
        """Return the number of the socket, to see whether something has come on it."""
        return int(self._transport.get_extra_info("socket").fileno())

    def end(self) -> None:
        """Close a connection on which nothing was asked."""
        self._transport.abort() if self._parting else self._transport.close()
