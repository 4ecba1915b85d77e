"""Clients that are slow, or silent, or do not listen: each is cut off in the end, and none costs an answer.

The scenes are played at once, so that the module takes as long as the longest of them. What each limit is stands in
`latewood_api.server`, in `latewood_api.body` and in `latewood_api.routes.table`; that it came is what counts. Those
that only a proxy cuts off are still there when the others have ended.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

import pytest
from tests.faults.rows import ONLY_A_PROXY
from tests.patience import PATIENCE, soon

pytestmark = pytest.mark.faults

GET = b"GET /health/live HTTP/1.1\r\nHost: deck.example\r\n"
POST = b"POST /v1/calculate/area HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
TABLE = b"POST /v1/table/area.csv HTTP/1.1\r\nHost: deck.example\r\nContent-Type: text/csv\r\n"
GOOD = b'{"length":"24 ft","width":"16 ft"}'


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
        statuses = [int(found) for found in re.findall(rb"HTTP/1\.1 (\d{3}) ", self.got)]
        return Seen(statuses, self.ended)


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
SCENES: dict[Scene, list[int]] = {
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


@pytest.fixture(scope="module")
def seen(server: Any) -> dict[str, Seen]:
    """Play every scene at once, with a good client beside them."""

    async def play(scene: Scene) -> Seen:
        client = Client(*await asyncio.open_connection("127.0.0.1", server.port))
        if name_of(scene) not in ONLY_A_PROXY:
            await scene(client)
            return await client.over(wait=True)
        playing = asyncio.create_task(scene(client))
        await others_over.wait()
        playing.cancel()
        return await client.over(wait=False)

    others_over = asyncio.Event()

    async def all_of_them() -> dict[str, Seen]:
        good = asyncio.create_task(asyncio.to_thread(server.good, 300))
        playing = {scene: asyncio.create_task(play(scene)) for scene in SCENES}
        await asyncio.gather(*(one for scene, one in playing.items() if name_of(scene) not in ONLY_A_PROXY))
        others_over.set()
        await good
        return {name_of(scene): await one for scene, one in playing.items()}

    return asyncio.run(all_of_them())


def name_of(scene: Scene) -> str:
    return scene.__name__.replace("_", " ")


@pytest.mark.parametrize("scene", SCENES, ids=name_of)
def test_is_cut_off(seen: dict[str, Seen], scene: Scene, show: Callable[[str], None]) -> None:
    found = seen[name_of(scene)]
    if name_of(scene) in ONLY_A_PROXY:
        show(f"only a proxy cuts off: {name_of(scene)}")
        assert not found.ended, "the bare server cuts it off too: take it off the list"
        return
    assert found.statuses == SCENES[scene]
    assert found.ended, "the connection was held"


def test_an_answer_that_is_not_taken_is_held(server: Any, show: Callable[[str], None]) -> None:
    """A client asks for the contract, larger than what the system takes in for it, and reads nothing."""

    async def deaf() -> int:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port, limit=1024)
        reader._transport.pause_reading()  # type: ignore[attr-defined]  # StreamReader has no way to stop reading
        writer.write(b"GET /openapi.json HTTP/1.1\r\nHost: deck.example\r\n\r\n" * 40)
        await asyncio.to_thread(server.good, 100)
        still: int = server.connections()
        writer.transport.abort()
        return still

    assert "answers nobody takes" in ONLY_A_PROXY
    show("only a proxy cuts off: answers nobody takes")
    assert asyncio.run(deaf()) > 0
    server.good(20)
