"""Clients that are slow, or silent, or do not listen: what each does on its connection."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Final

from tests.faults.vectors import GET, GOOD, POST, TABLE, statuses
from tests.patience import PATIENCE, soon


@dataclass
class Seen:
    """What a client saw: the statuses it was answered with, and whether the server ended the connection."""

    statuses: list[int]
    ended: bool


class Client:
    """One connection, whose answers are collected beside what it sends."""

    def __init__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self.reader, self.writer = reader, writer
        self.got = b""
        self.ended = False
        self.listening = asyncio.create_task(self._listen())

    async def _listen(self) -> None:
        try:
            while more := await self.reader.read(65536):
                self.got += more
        except ConnectionError:
            pass
        self.ended = True

    async def send(self, data: bytes) -> None:
        if not self.ended:
            self.writer.write(data)
            await asyncio.sleep(0)

    async def trickle(self, data: bytes, pause: float) -> None:
        """Send a byte at a time until all are sent or the connection has ended."""
        for at in range(len(data)):
            await self.send(data[at : at + 1])
            if self.ended:
                return
            await asyncio.sleep(pause)

    async def over(self, *, wait: bool) -> Seen:
        if wait:
            await asyncio.wait({self.listening}, timeout=PATIENCE)
        self.listening.cancel()
        self.writer.transport.abort()
        return Seen(statuses(self.got), self.ended)


async def silent(client: Client) -> None:
    pass


async def first_byte_late(client: Client) -> None:
    await asyncio.sleep(2.5)
    await client.send(GET + b"Connection: close\r\n\r\n")


async def half_a_head(client: Client) -> None:
    await client.send(GET)


async def head_by_byte(client: Client) -> None:
    await client.trickle(GET + b"X-A: " + b"a" * 100, 1.0)


async def head_by_line(client: Client) -> None:
    await client.send(GET)
    for _ in range(60):
        await client.trickle(b"X", 1.0)
        await client.send(b"-A: b\r\n")


async def only_line_ends(client: Client) -> None:
    await client.trickle(b"\r\n" * 60, 1.0)


async def rests(client: Client) -> None:
    await client.send(GET + b"\r\n")


async def rests_then_half_a_head(client: Client) -> None:
    await client.send(GET + b"\r\n")
    await soon(lambda: client.got, "the first answer")
    await client.send(GET)


async def body_stalls(client: Client) -> None:
    await client.send(POST + b"Content-Length: 500\r\n\r\n{")


async def body_by_byte(client: Client) -> None:
    await client.send(POST + b"Content-Length: 500\r\n\r\n{")
    await client.trickle(b" " * 400, 0.5)


async def chunks_by_byte(client: Client) -> None:
    await client.send(POST + b"Transfer-Encoding: chunked\r\n\r\n")
    await client.trickle(b"1\r\n \r\n" * 60, 0.5)


async def body_slow_but_sure(client: Client) -> None:
    await client.send(POST + b"Connection: close\r\nContent-Length: %d\r\n\r\n" % len(GOOD))
    await client.trickle(GOOD, 0.05)


async def asks_before_sending(client: Client) -> None:
    await client.send(POST + b"Expect: 100-continue\r\nConnection: close\r\nContent-Length: %d\r\n\r\n" % len(GOOD))
    await soon(lambda: client.got.startswith(b"HTTP/1.1 100 Continue\r\n\r\n"), "the order to go on")
    await client.send(GOOD)


async def table_stalls(client: Client) -> None:
    await client.send(TABLE + b"Content-Length: 500\r\n\r\nlength,width\r\n")


async def body_nobody_reads(client: Client) -> None:
    await client.send(GET + b"Content-Length: 100000\r\n\r\n")
    await client.trickle(b" " * 400, 0.5)


Scene = Callable[[Client], Awaitable[None]]

#: Scene → the statuses it may see. In the end the server ends the connection of each.
SCENES: Final[dict[Scene, list[int]]] = {
    silent: [],
    first_byte_late: [200],
    half_a_head: [408],
    head_by_byte: [408],
    head_by_line: [408],
    only_line_ends: [408],
    rests: [200],
    rests_then_half_a_head: [200, 408],
    body_stalls: [408],
    body_by_byte: [408],
    chunks_by_byte: [408],
    body_slow_but_sure: [200],
    asks_before_sending: [100, 200],
    table_stalls: [408],
    # The answer does not wait for it; what comes after the answer is thrown away for a moment, then the line is cut.
    body_nobody_reads: [200],
}
