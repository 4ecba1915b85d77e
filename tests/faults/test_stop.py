"""The stop: whoever was heard is answered, whoever comes later is refused, and it ends in any case."""

from __future__ import annotations

import asyncio
import json
import signal
import threading
import time
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

pytestmark = pytest.mark.faults

READY = b"GET /health/ready HTTP/1.1\r\nHost: deck.example\r\n"
BODY = json.dumps({"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}).encode()
POST = b"POST /v1/calculate/coverage HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
SIZED = b"Content-Length: %d\r\n\r\n" % len(BODY)
TABLE = b"POST /v1/table/area.csv HTTP/1.1\r\nHost: deck.example\r\nContent-Type: text/csv\r\n"

Show = Callable[[str], None]


async def answer(reader: asyncio.StreamReader) -> int:
    """Return the status of the next answer, which must be whole; 0 where there is none."""
    return (await answered(reader))[0]


async def answered(reader: asyncio.StreamReader) -> tuple[int, bool]:
    """Return the status of the next answer as well, and whether more may be asked on this connection."""
    try:
        head = await reader.readuntil(b"\r\n\r\n")
        length = next(line for line in head.lower().split(b"\r\n") if line.startswith(b"content-length:"))
        await reader.readexactly(int(length.split(b":")[1]))
    except (asyncio.IncompleteReadError, ConnectionError):
        return 0, False
    return int(head[9:12]), b"connection: close" not in head.lower()


class Load:
    """Clients who ask without pause, each question on a connection of its own or all on one."""

    def __init__(self, port: int) -> None:
        self.port = port
        self.told: float | None = None
        self.found: Counter[str] = Counter()
        self.refused_from: float | None = None

    async def fresh(self) -> None:
        """Connect and ask, again and again, until refused: then the door is closed."""
        while True:
            try:
                reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
            except ConnectionRefusedError:
                assert self.told is not None
                self.refused_from = self.refused_from or time.monotonic() - self.told
                self.found["refused"] += 1
                return
            await self._ask(reader, writer, "fresh", POST + b"Connection: close\r\n" + SIZED + BODY)
            writer.transport.abort()

    async def kept(self) -> None:
        """Ask again and again on one connection; when the server has ended it, on the next."""
        while True:
            try:
                reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
            except ConnectionRefusedError:
                self.found["refused"] += 1
                return
            while await self._ask(reader, writer, "kept", POST + SIZED + BODY):
                pass
            writer.transport.abort()

    async def _ask(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, who: str, sent: bytes) -> bool:
        try:
            writer.write(sent)
            await writer.drain()
        except ConnectionError:
            self.found[f"{who}: not sent"] += 1
            return False
        status, more = await answered(reader)
        self.found[f"{who}: {status or 'NOT ANSWERED'}"] += 1
        return more

    async def half(self) -> int:
        """Send half a body before the stop and half after it."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        writer.write(POST + SIZED + BODY[:20])
        while self.told is None:
            await asyncio.sleep(0.01)
        await asyncio.sleep(2)
        writer.write(BODY[20:])
        found = await answer(reader)
        writer.close()
        return found

    async def readiness(self) -> list[tuple[float, int]]:
        """Ask whether the server is ready, on new connections, until refused."""
        seen: list[tuple[float, int]] = []
        while True:
            try:
                reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
            except ConnectionRefusedError:
                return seen
            writer.write(READY + b"Connection: close\r\n\r\n")
            asked = time.monotonic()
            status = await answer(reader)
            seen.append((asked - self.told if self.told else -1.0, status))
            writer.close()
            await asyncio.sleep(0.02)


@pytest.mark.parametrize("workers", ["1", "2", "4"])
def test_who_was_heard_is_answered(start: Any, show: Show, workers: str) -> None:
    server = start("--workers", workers)
    load = Load(server.port)

    async def play() -> tuple[list[int], list[tuple[float, int]], float]:
        clients = [asyncio.create_task(load.fresh()) for _ in range(32)]
        clients += [asyncio.create_task(load.kept()) for _ in range(16)]
        halves = [asyncio.create_task(load.half()) for _ in range(10)]
        readiness = asyncio.create_task(load.readiness())
        silent = [await asyncio.open_connection("127.0.0.1", server.port) for _ in range(5)]
        await asyncio.sleep(3)
        load.told = time.monotonic()
        server.process.send_signal(signal.SIGTERM)
        await asyncio.gather(*clients)
        found = await asyncio.gather(*halves)
        seen = await readiness
        code = await asyncio.to_thread(server.process.wait, 30)
        assert code == 0
        took = time.monotonic() - load.told
        for _, writer in silent:
            writer.close()
        return found, seen, took

    halves, readiness, took = asyncio.run(play())
    first = min(at for at, status in readiness if status == 503)
    assert load.refused_from is not None
    show(f"{workers} workers: {dict(load.found)}, halves {dict(Counter(halves))}")
    show(f"not ready after {first:.2f} s, refused after {load.refused_from:.2f} s, ended with 0 after {took:.2f} s")
    assert not [what for what in load.found if "NOT ANSWERED" in what]
    assert {what for what in load.found if not what.endswith("not sent")} == {"fresh: 200", "kept: 200", "refused"}
    assert halves == [200] * 10
    # Readiness turns first, and stays turned until nobody can ask.
    assert first < load.refused_from
    assert {status for at, status in readiness if at > first} == {503}
    assert took < 15
    assert "Traceback" not in server.said()


def test_a_long_table_is_finished(start: Any, show: Show) -> None:
    server = start("--workers", "1")
    rows = 8_000

    async def play() -> tuple[int, float]:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port)
        sent = b"length,width\r\n" + b"24 ft,16 ft\r\n" * rows
        writer.write(TABLE + b"Content-Length: %d\r\n\r\n" % len(sent) + sent)
        got = await reader.readuntil(b"24 ft")
        server.process.send_signal(signal.SIGTERM)
        told = time.monotonic()
        got += await reader.read()
        took = time.monotonic() - told
        writer.close()
        return got.count(b"24 ft"), took

    rows_answered, took = asyncio.run(play())
    code = server.process.wait(30)
    show(f"a table of {rows} rows goes on for {took:.1f} s after the signal: {rows_answered} rows answered")
    assert (rows_answered, code) == (rows, 0)


def stuck(port: int) -> Callable[[], None]:
    """Ask for a table whose rows stop coming: such a request is not answered before its own limit of 30 s."""
    import socket

    connection = socket.create_connection(("127.0.0.1", port))
    connection.sendall(TABLE + b"Content-Length: 500\r\n\r\nlength,width\r\n24 ft,16 ft\r\n")
    return connection.close


def test_a_second_signal_ends_it(start: Any, show: Show) -> None:
    server = start()
    close = stuck(server.port)
    time.sleep(0.5)
    server.process.send_signal(signal.SIGTERM)
    time.sleep(3)
    assert server.process.poll() is None
    began = time.monotonic()
    assert server.stop(signal.SIGINT) == 1
    show(f"a second signal ends it with 1 after {time.monotonic() - began:.2f} s")
    assert time.monotonic() - began < 2
    assert "before every request was answered" in server.said()
    close()


def test_time_ends_it(start: Any, show: Show) -> None:
    server = start("--notice", "0", "--within", "3")
    close = stuck(server.port)
    time.sleep(0.5)
    began = time.monotonic()
    assert server.stop() == 1
    took = time.monotonic() - began
    show(f"with --within 3 it ends with 1 after {took:.1f} s")
    assert 2.5 < took < 6
    close()


def test_nobody_there_means_no_waiting(start: Any, show: Show) -> None:
    server = start("--notice", "0")
    began = time.monotonic()
    assert server.stop(signal.SIGINT) == 0
    show(f"a stop that nobody waits for takes {time.monotonic() - began:.2f} s")
    assert time.monotonic() - began < 1.5


def test_a_signal_to_everyone_is_one_to_the_first(start: Any) -> None:
    """As a terminal sends it at Ctrl-C, and some managers of services: to every process there is."""
    import os

    server = start("--notice", "1")
    statuses: list[int] = []
    asking = threading.Thread(target=lambda: statuses.append(server.ask("POST", "/v1/calculate/coverage", BODY)))
    for pid in (*server.workers(), server.process.pid):
        os.kill(pid, signal.SIGTERM)
    asking.start()
    assert server.process.wait(20) == 0
    asking.join()
    assert statuses == [200]
