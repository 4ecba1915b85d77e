"""A long request body: taken as fast as it comes, given out as fast as it is wanted, on disk in between.

Most clients send the whole body before they read any answer. Were the body left waiting until its rows are computed,
client and server would each wait for the other to read.
"""

from __future__ import annotations

import asyncio
import tempfile
from collections.abc import AsyncIterator
from typing import Final

from litestar.types import Receive

from latewood_api.problem import Refusal, refusal

#: What is kept in memory of one body before it goes to disk, and how much is given out at a time.
MEMORY: Final = 1_000_000
PIECE: Final = 65_536


class Gone(Exception):
    """The client has closed the connection: nobody waits for the answer."""


class Spool:
    """One body. `fill` runs as a task of its own, and goes on to notice when the client leaves."""

    def __init__(self, receive: Receive, *, limit: int, stall: float) -> None:
        self._receive = receive
        self._limit = limit
        self._stall = stall
        self._file = tempfile.SpooledTemporaryFile(max_size=MEMORY)  # noqa: SIM115  # closed by `close`
        self._written = self._given = 0
        self._news = asyncio.Event()
        self._ended = False
        self._why: Refusal | None = None
        self.gone = False

    async def fill(self) -> None:
        """Take the body in; afterwards, wait for the client to leave."""
        try:
            while await self._take():
                self._news.set()
        except TimeoutError:
            expected = f"the next part within {self._stall:g} s"
            self._why = refusal("too-slow", "the body stopped coming", expected=expected, connection="close")
        finally:
            self._ended = True
            self._news.set()
        while not self.gone and self._why is None:
            self.gone = (await self._receive())["type"] == "http.disconnect"

    async def _take(self) -> bool:
        async with asyncio.timeout(self._stall):
            message = await self._receive()
        if message["type"] != "http.request":
            self.gone = True
            return False
        piece = message.get("body", b"")
        if self._written + len(piece) > self._limit:
            expected = f"at most {self._limit} bytes"
            self._why = refusal("too-large", "the body is too large", expected=expected, connection="close")
            return False
        self._file.seek(self._written)
        self._file.write(piece)
        self._written += len(piece)
        return bool(message.get("more_body"))

    async def pieces(self) -> AsyncIterator[bytes]:
        """Yield the body; raise `Refusal` where it broke off for a fault of the client's, `Gone` where they left."""
        while True:
            if self.gone:
                raise Gone
            if self._given < self._written:
                self._file.seek(self._given)
                piece = self._file.read(PIECE)
                self._given += len(piece)
                yield piece
            elif self._ended:
                if self._why is not None:
                    raise self._why
                return
            else:
                self._news.clear()
                await self._news.wait()

    @property
    def waiting(self) -> bool:
        """Whether everything that came has been given out and more is to come."""
        return self._given >= self._written and not self._ended

    async def drain(self, seconds: float) -> None:
        """Give a client that is still sending a moment to finish: one that is cut off may never read why."""
        try:
            async with asyncio.timeout(seconds):
                while not self._ended:
                    self._news.clear()
                    await self._news.wait()
        except TimeoutError:
            return

    def close(self) -> None:
        """Give the disk space back."""
        self._file.close()
