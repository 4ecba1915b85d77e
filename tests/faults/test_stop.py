"""The stop: whoever was heard is answered, whoever comes later is refused, and it ends in any case."""

from __future__ import annotations

import asyncio
import json
import signal
import socket
import threading
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from tests.faults.vectors import TABLE
from tests.patience import PATIENCE, soon, turned, until

pytestmark = pytest.mark.faults

READY = b"GET /health/ready HTTP/1.1\r\nHost: deck.example\r\n"
BODY = json.dumps({"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}).encode()
POST = b"POST /v1/calculate/coverage HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
SIZED = b"Content-Length: %d\r\n\r\n" % len(BODY)

#: So long that it is not time that ends a stop, on any machine.
PATIENT = ("--within", str(round(10 * PATIENCE)))

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
        self.found: Counter[str] = Counter()
        #: What became of questions whether the server is ready, and of new connections, in order.
        self.course: list[int | str] = []

    async def fresh(self) -> None:
        """Connect and ask, again and again, until refused: then the door is closed."""
        while connection := await self._connect("fresh"):
            reader, writer = connection
            await self._ask(reader, writer, "fresh", POST + b"Connection: close\r\n" + SIZED + BODY)
            writer.transport.abort()
        self.course.append("refused")
        self.found["refused"] += 1

    async def kept(self) -> None:
        """Ask again and again on one connection; when the server has ended it, on the next."""
        while connection := await self._connect("kept"):
            reader, writer = connection
            while await self._ask(reader, writer, "kept", POST + SIZED + BODY):
                pass
            writer.transport.abort()
        self.found["refused"] += 1

    async def _connect(self, who: str) -> tuple[asyncio.StreamReader, asyncio.StreamWriter] | None:
        """Connect; None once refused. Who is reset while connecting was not taken in, and tries again."""
        while True:
            try:
                return await asyncio.open_connection("127.0.0.1", self.port)
            except ConnectionRefusedError:
                return None
            except ConnectionResetError:
                self.found[f"{who}: NOT ANSWERED"] += 1

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

    async def half(self, sent: asyncio.Semaphore) -> int:
        """Send half a body before the stop and half after it has begun."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        writer.write(POST + SIZED + BODY[:20])
        await writer.drain()
        sent.release()
        await soon(lambda: 503 in self.course or "refused" in self.course, "the stop begins")
        writer.write(BODY[20:])
        found = await answer(reader)
        writer.close()
        return found

    async def readiness(self) -> None:
        """Ask whether the server is ready, on new connections, until refused."""
        while connection := await self._connect("readiness"):
            reader, writer = connection
            writer.write(READY + b"Connection: close\r\n\r\n")
            self.course.append(await answer(reader))
            writer.close()
            await asyncio.sleep(0.02)


def test_who_was_heard_is_answered(start: Any, show: Show) -> None:
    # The door stays open long enough for a question to be answered in, and half a body may stay one, on any machine.
    server = start("--notice", "5", *PATIENT, deadline=PATIENCE)
    load = Load(server.port)

    async def play() -> list[int]:
        clients = [asyncio.create_task(load.fresh()) for _ in range(32)]
        clients += [asyncio.create_task(load.kept()) for _ in range(16)]
        readiness = asyncio.create_task(load.readiness())
        silent = [await asyncio.open_connection("127.0.0.1", server.port) for _ in range(5)]
        await soon(lambda: min(load.found["fresh: 200"], load.found["kept: 200"]) > 200 and load.course, "a load")
        sent = asyncio.Semaphore(0)
        halves = [asyncio.create_task(load.half(sent)) for _ in range(10)]
        for _ in halves:
            await sent.acquire()
        server.process.send_signal(signal.SIGTERM)
        await asyncio.gather(*clients)
        found = await asyncio.gather(*halves)
        await readiness
        assert await asyncio.to_thread(server.process.wait, PATIENCE) == 0
        for _, writer in silent:
            writer.close()
        return found

    halves = asyncio.run(play())
    show(f"{dict(load.found)}, halves {dict(Counter(halves))}")
    # Every answer has ended its connection for some time; who has connected and not been taken in is reset.
    lost = load.found["fresh: NOT ANSWERED"] + load.found["kept: NOT ANSWERED"]
    show(f"only a proxy holds: connected and not taken in when the door closes: {lost} lost")
    assert lost <= 32 + 16
    answers = {what for what in load.found if not what.endswith(("not sent", "NOT ANSWERED"))}
    assert answers == {"fresh: 200", "kept: 200", "refused"}
    assert halves == [200] * 10
    # Readiness turns first, and stays turned until nobody can ask.
    turns = [status for status in load.course if status not in ("refused", 0)]
    assert load.course.index(503) < load.course.index("refused")
    assert turns == sorted(turns)
    assert set(turns) == {200, 503}
    assert "Traceback" not in server.said()


def test_a_long_table_is_finished(start: Any, show: Show) -> None:
    server = start(*PATIENT)
    rows = 8_000

    async def play() -> int:
        reader, writer = await asyncio.open_connection("127.0.0.1", server.port)
        sent = b"length,width\r\n" + b"24 ft,16 ft\r\n" * rows
        writer.write(TABLE + b"Content-Length: %d\r\n\r\n" % len(sent) + sent)
        got = await reader.readuntil(b"24 ft")
        server.process.send_signal(signal.SIGTERM)
        got += await reader.read()
        writer.close()
        return got.count(b"24 ft")

    answered = asyncio.run(play())
    show(f"a table of {rows} rows goes on after the signal: {answered} rows answered")
    assert (answered, server.process.wait(PATIENCE)) == (rows, 0)


def stuck(port: int) -> socket.socket:
    """Ask for a table whose rows stop coming: such a request is not answered before its own limit of 30 s."""
    connection = socket.create_connection(("127.0.0.1", port))
    connection.sendall(TABLE + b"Content-Length: 500\r\n\r\nlength,width\r\n24 ft,16 ft\r\n")
    got = b""
    while b"24 ft" not in got:
        got += connection.recv(65536)
    return connection


def test_a_second_signal_ends_it(start: Any) -> None:
    """Without it the stop would end later, with 0: the request has a limit of its own."""
    server = start(*PATIENT)
    with stuck(server.port):
        server.process.send_signal(signal.SIGTERM)
        until(lambda: turned(server.port), "the stop begins")
        assert server.process.poll() is None
        assert server.stop(signal.SIGINT) == 1
    assert "before every request was answered" in server.said()


def test_time_ends_it(start: Any) -> None:
    """With more time the stop would end with 0: the request has a limit of its own, which is longer."""
    server = start("--notice", "0", "--within", "3")
    with stuck(server.port):
        assert server.stop() == 1
    assert "before every request was answered" in server.said()


def test_nobody_there_means_no_waiting(start: Any) -> None:
    server = start("--notice", "0", *PATIENT)
    assert server.stop(signal.SIGINT) == 0


def test_a_signal_to_everyone_is_one_to_the_first(start: Any) -> None:
    """As a terminal sends it at Ctrl-C, and some managers of services: to every process there is."""
    import os

    server = start("--notice", "5", *PATIENT)
    statuses: list[int] = []
    asking = threading.Thread(target=lambda: statuses.append(server.ask("POST", "/v1/calculate/coverage", BODY)))
    for pid in (*server.children(), server.process.pid):
        os.kill(pid, signal.SIGTERM)
    asking.start()
    assert server.process.wait(PATIENCE) == 0
    asking.join()
    assert statuses == [200]
