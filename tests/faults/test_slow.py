"""Clients that are slow, or silent, or do not listen: each is cut off at its stated time, and none costs an answer.

The scenes are played at once, so that the module takes as long as the longest of them. What each limit is stands in
`latewood_api.serving.limits`, in `latewood_api.body` and in `latewood_api.routes.table`.
"""

from __future__ import annotations

import asyncio
import re
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import Any

import pytest

from latewood_api import body
from latewood_api.routes import table
from latewood_api.serving import limits

pytestmark = pytest.mark.faults

GET = b"GET /health/live HTTP/1.1\r\nHost: deck.example\r\n"
POST = b"POST /v1/calculate/area HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
TABLE = b"POST /v1/table/area.csv HTTP/1.1\r\nHost: deck.example\r\nContent-Type: text/csv\r\n"
GOOD = b'{"length":"24 ft","width":"16 ft"}'
#: Later than any limit by more than a busy machine can delay.
LONG = 50.0


@dataclass
class Seen:
    """What a client saw: the statuses it was answered with, and after how many seconds the connection ended."""

    statuses: list[int]
    ended: float | None


class Client:
    """One connection, whose answers are collected beside what it sends."""

    def __init__(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        self.reader, self.writer = reader, writer
        self.began = time.monotonic()
        self.got = b""
        self.ended: float | None = None
        self.listening = asyncio.create_task(self._listen())

    async def _listen(self) -> None:
        try:
            while more := await self.reader.read(65536):
                self.got += more
        except ConnectionError:
            pass
        self.ended = time.monotonic() - self.began

    async def send(self, data: bytes) -> None:
        if self.ended is None:
            self.writer.write(data)
            await asyncio.sleep(0)

    async def trickle(self, data: bytes, seconds: float) -> None:
        """Send a byte at a time until all are sent or the connection has ended."""
        for at in range(len(data)):
            await self.send(data[at : at + 1])
            if self.ended is not None:
                return
            await asyncio.wait({self.listening}, timeout=seconds)

    async def over(self) -> Seen:
        await asyncio.wait({self.listening}, timeout=LONG)
        self.listening.cancel()
        self.writer.transport.abort()
        statuses = [int(found) for found in re.findall(rb"HTTP/1\.1 (\d{3}) ", self.got)]
        return Seen(statuses, self.ended)


async def silent(client: Client) -> None:
    pass


async def first_byte_late(client: Client) -> None:
    await asyncio.sleep(limits.HEAD_SECONDS / 2)
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
    await asyncio.sleep(5)
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
    await client.trickle(GOOD, 0.1)


async def asks_before_sending(client: Client) -> None:
    await client.send(POST + b"Expect: 100-continue\r\nConnection: close\r\nContent-Length: %d\r\n\r\n" % len(GOOD))
    await asyncio.sleep(1)
    assert client.got.startswith(b"HTTP/1.1 100 Continue\r\n\r\n")
    await client.send(GOOD)


async def table_stalls(client: Client) -> None:
    await client.send(TABLE + b"Content-Length: 500\r\n\r\nlength,width\r\n")


async def body_nobody_reads(client: Client) -> None:
    await client.send(GET + b"Content-Length: 100000\r\n\r\n")
    await client.trickle(b" " * 400, 0.5)


Scene = Callable[[Client], Awaitable[None]]
SWEEP = 2 * limits.SWEEP
HEAD, IDLE, DEADLINE = limits.HEAD_SECONDS, limits.IDLE_SECONDS, body.DEADLINE

#: Scene → the statuses it may see, and the seconds after which its connection must have ended: no sooner, no later.
SCENES: dict[Scene, tuple[list[int], float, float]] = {
    silent: ([], HEAD, HEAD),
    first_byte_late: ([200], HEAD / 2, HEAD / 2),
    half_a_head: ([408], HEAD, HEAD),
    head_by_byte: ([408], HEAD, HEAD),
    head_by_line: ([408], HEAD, HEAD),
    only_line_ends: ([408], HEAD, HEAD),
    rests: ([200], IDLE, IDLE),
    rests_then_half_a_head: ([200, 408], 5 + HEAD, 5 + HEAD),
    body_stalls: ([408], DEADLINE, DEADLINE),
    body_by_byte: ([408], DEADLINE, DEADLINE),
    chunks_by_byte: ([408], DEADLINE, DEADLINE),
    body_slow_but_sure: ([200], 0.1 * len(GOOD), 0.1 * len(GOOD)),
    asks_before_sending: ([100, 200], 1, 1),
    table_stalls: ([408], table.STALL, table.STALL),
    # The answer does not wait for it; what comes after the answer is thrown away for a moment, then the line is cut.
    body_nobody_reads: ([200], 0, limits.LINGER_SECONDS),
}


@pytest.fixture(scope="module")
def seen(server: Any) -> dict[str, Seen]:
    """Play every scene at once, with a good client beside them."""

    async def play(scene: Scene) -> Seen:
        client = Client(*await asyncio.open_connection("127.0.0.1", server.port))
        await scene(client)
        return await client.over()

    async def all_of_them() -> list[Seen]:
        good = asyncio.create_task(asyncio.to_thread(server.good, 300, 0.1))
        found = await asyncio.gather(*(play(scene) for scene in SCENES))
        await good
        return found

    played = asyncio.run(all_of_them())
    return {scene.__name__: one for scene, one in zip(SCENES, played, strict=True)}


@pytest.mark.parametrize("scene", SCENES, ids=lambda scene: scene.__name__)
def test_is_cut_off_at_its_time(seen: dict[str, Seen], scene: Scene, show: Callable[[str], None]) -> None:
    found = seen[scene.__name__]
    statuses, soonest, latest = SCENES[scene]
    assert found.statuses == statuses
    assert found.ended is not None, "the connection was held"
    # Where the end is by our clock, at most a sweep late; how late a scene began is the machine's doing.
    assert soonest - 0.5 <= found.ended <= latest + limits.LINGER_SECONDS + SWEEP + 2
    show(f"{scene.__name__}: {found.statuses or 'no answer'}, ended after {found.ended:.1f} s")


def test_an_answer_that_is_not_taken_is_given_up(server: Any, show: Callable[[str], None]) -> None:
    """A client asks for the contract, larger than what the system takes in for it, and reads nothing."""

    async def deaf() -> tuple[float, float]:
        before = server.memory()
        writers = []
        for _ in range(100):
            reader, writer = await asyncio.open_connection("127.0.0.1", server.port, limit=1024)
            reader._transport.pause_reading()  # type: ignore[attr-defined]  # StreamReader has no way to stop reading
            writer.write(b"GET /openapi.json HTTP/1.1\r\nHost: deck.example\r\n\r\n" * 40)
            writers.append(writer)
        await asyncio.sleep(3)
        during = server.memory()
        await asyncio.sleep(limits.STALL_SECONDS + 2)
        after = server.memory()
        left = open_connections(server)
        for writer in writers:
            writer.transport.abort()
        show(f"100 deaf clients with 40 contracts each: {before:.0f} → {during:.0f} → {after:.0f} MB, {left} held")
        assert left == 0
        return before, during

    before, during = asyncio.run(deaf())
    # A piece and what the parser holds for each, not a copy of the contract for each.
    assert during - before < 60
    assert server.good(20)


def open_connections(server: Any) -> int:
    """Return how many established connections the server's side still has."""
    port = f"{server.port:04X}"
    found = 0
    with open("/proc/net/tcp") as lines:
        for line in list(lines)[1:]:
            _, local, _, state = line.split()[:4]
            found += local.endswith(f":{port}") and state == "01"
    return found
