"""Connections, workers and their supervisor, in this process and with short limits: one rule each.

What they do against clients by the thousand is in tests/faults.
"""

from __future__ import annotations

import asyncio
import errno
import os
import resource
import signal
import socket
import struct
import threading
from collections import Counter
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from typing import Any

import pytest
from tests.patience import PATIENCE, soon, until

from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes.health import Readiness
from latewood_api.serving import limits, worker
from latewood_api.serving.connection import Connection
from latewood_api.serving.supervisor import Supervisor
from latewood_api.serving.worker import Worker

GET = b"GET /now HTTP/1.1\r\nHost: x\r\n"
POST = b"POST /echo HTTP/1.1\r\nHost: x\r\n"
BIG = bytes(range(256)) * 4096
#: How often each path was asked for, and how many clients were seen to leave.
asked: Counter[str] = Counter()


async def application(scope: Any, receive: Any, send: Any) -> None:
    """Answer in all the ways there are."""
    kind = scope["path"].strip("/")
    asked[kind] += 1

    async def say(body: bytes, *, more: bool = False) -> None:
        await send({"type": "http.response.body", "body": body, "more_body": more})

    status = int(kind) if kind.isdigit() else 200
    await send({"type": "http.response.start", "status": status, "headers": [(b"x-path", scope["raw_path"])]})
    if kind == "echo":
        body = b""
        while (message := await receive())["type"] == "http.request":
            body += message["body"]
            if not message["more_body"]:
                break
        await say(body)
    elif kind == "parts":
        for at in range(3):
            await say(b"%d" % at, more=True)
        await say(b"")
    elif kind == "big":
        await say(BIG)
    elif kind == "fails":
        raise RuntimeError("as it should")
    elif kind == "fails-late":
        await say(b"and", more=True)
        raise RuntimeError("as it should")
    elif kind == "breaks-off":
        await say(b"and", more=True)
    elif kind == "leaves":
        while (await receive())["type"] != "http.disconnect":
            pass
        asked["left"] += 1
    elif kind == "slow":
        await asyncio.sleep(0.3)
        await say(b"done")
    else:
        await say(b"now" if status == 200 else b"")


@dataclass
class House:
    """A worker that runs, and the other end of its lifeline."""

    port: int
    worker: Worker
    stop: Callable[[], None]
    ended: asyncio.Task[bool]

    async def holds(self, number: int) -> None:
        """Wait until so many connections are taken in."""
        await soon(lambda: len(self.worker._connections) == number, f"{number} connections")

    async def say(self, *sent: bytes, pause: float = 0.05, finish: bool = False) -> bytes:
        """Send pieces, and return what comes until the connection ends."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        got = b""
        try:
            for piece in sent:
                writer.write(piece)
                await writer.drain()
                await asyncio.sleep(pause)
            if finish:
                writer.write_eof()
            async with asyncio.timeout(PATIENCE):
                while more := await reader.read(65536):
                    got += more
        except ConnectionError:
            pass
        finally:
            writer.transport.abort()
        return got


def serving(scene: Callable[[House], Awaitable[None]], **more: Any) -> bool:
    """Play a scene with a worker; return whether the worker ended in time."""

    async def play() -> bool:
        asked.clear()
        readiness = Readiness()
        listener = socket.create_server(("127.0.0.1", 0))
        chosen = {"notice": 0.0, "within": PATIENCE, **more}
        one = Worker(ResponseHeaders(application, []), readiness, listener, **chosen)  # type: ignore[arg-type]
        lifeline, hold = os.pipe()
        ready = asyncio.Event()
        ended = asyncio.create_task(one.run(lifeline, ready.set))
        await ready.wait()
        house = House(listener.getsockname()[1], one, lambda: os.close(hold), ended)
        try:
            await scene(house)
        finally:
            if not readiness.stopping:
                house.stop()
            try:
                in_time = await ended
            finally:
                os.close(lifeline)
                listener.close()
        assert readiness.stopping
        return in_time

    return asyncio.run(play())


def heard(*sent: bytes, **more: Any) -> bytes:
    """Return what a worker answers to this."""
    got = b""

    async def scene(house: House) -> None:
        nonlocal got
        got = await house.say(*sent, **more)

    serving(scene)
    return got


CLOSE = b"Connection: close\r\n\r\n"


def test_answers_in_order_on_one_connection() -> None:
    got = heard(GET + b"\r\n" + POST + b"Content-Length: 2\r\n\r\nhi" + GET.replace(b"/now", b"/parts") + CLOSE)
    assert got.count(b"HTTP/1.1 200 OK\r\n") == 3
    bodies = [part.partition(b"\r\n\r\n")[2] for part in got.split(b"HTTP/1.1 ")[1:]]
    # RFC 9112, section 7.1: each part with its size in hexadecimal, and an empty one at the end.
    assert bodies == [b"now", b"hi", b"1\r\n0\r\n1\r\n1\r\n1\r\n2\r\n0\r\n\r\n"]
    assert got.count(b"connection: close\r\n") == 1


def test_a_head_alone_where_a_body_is_forbidden() -> None:
    for path, method in ((b"/204", b"GET"), (b"/304", b"GET"), (b"/now", b"HEAD"), (b"/parts", b"HEAD")):
        head, _, body = heard(method + b" " + path + b" HTTP/1.1\r\nHost: x\r\n" + CLOSE).partition(b"\r\n\r\n")
        assert body == b""
        assert b"transfer-encoding" not in head


def test_a_large_answer_arrives_whole() -> None:
    head, _, body = heard(GET.replace(b"/now", b"/big") + CLOSE).partition(b"\r\n\r\n")
    assert b"content-length: %d" % len(BIG) in head
    assert body == BIG


def test_the_older_protocol_is_answered_without_chunks() -> None:
    head, _, body = heard(b"GET /parts HTTP/1.0\r\n\r\n").partition(b"\r\n\r\n")
    assert body == b"012"
    assert b"connection: close" in head
    assert b"transfer-encoding" not in head


def test_a_client_that_asks_before_sending_is_told_to_go_on() -> None:
    got = heard(POST + b"Expect: 100-Continue\r\nContent-Length: 2\r\nConnection: close\r\n\r\n", b"hi")
    assert got.startswith(b"HTTP/1.1 100 Continue\r\n\r\nHTTP/1.1 200 OK\r\n")
    assert got.endswith(b"hi")


@pytest.mark.parametrize(
    ("sent", "path"),
    [
        (b"GET /a%20b?c=d HTTP/1.1\r\nHost: x\r\n", b"/a%20b"),
        (b"GET http://deck.example/a HTTP/1.1\r\nHost: x\r\n", b"/a"),
        (b"OPTIONS * HTTP/1.1\r\nHost: x\r\n", b"*"),
        (GET + b"Upgrade: h2c\r\nConnection: Upgrade\r\n", b"/now"),
    ],
)
def test_forms_of_the_address(sent: bytes, path: bytes) -> None:
    """RFC 9112, section 3.2; and an upgrade may be passed over (RFC 9110, section 7.8)."""
    got = heard(sent + b"Connection: close\r\n\r\n")
    assert got.startswith(b"HTTP/1.1 200 OK\r\n")
    assert b"\r\nx-path: " + path + b"\r\n" in got


@pytest.mark.parametrize(
    ("sent", "status"),
    [
        (b"GET / HTTP/1.1\r\n\r\n", 400),
        (b"GET / HTTP/1.1\r\nHost: x\r\nHost: y\r\n\r\n", 400),
        (b"GET a:443 HTTP/1.1\r\nHost: x\r\n\r\n", 400),
        (b"no HTTP at all\r\n\r\n", 400),
        (GET + b"A: b\r\n" * 100 + b"\r\n", 431),
        (GET + b"A: " + b"b" * 70_000, 431),
    ],
)
def test_what_is_no_request_is_answered_like_any(sent: bytes, status: int) -> None:
    got = heard(sent)
    assert got.startswith(b"HTTP/1.1 %d " % status)
    assert b"content-type: application/problem+json\r\n" in got
    assert b"x-request-id: " in got


def test_a_body_that_is_no_body_ends_the_connection() -> None:
    """The application has begun its answer already; it gets what came, then the news that the rest will not."""
    for bad in (b"Transfer-Encoding: chunked\r\n\r\nZZ\r\n", b"Content-Length: 9\r\n\r\nab"):
        got = heard(POST + bad, finish=True)
        assert got.count(b"HTTP/1.1 ") == 1
        assert b"connection: close\r\n" in got


def test_an_answer_that_breaks_off_has_no_end(caplog: pytest.LogCaptureFixture) -> None:
    got = heard(GET.replace(b"/now", b"/breaks-off") + b"\r\n")
    assert got.endswith(b"3\r\nand\r\n")
    # Until a part of an answer has gone out, it can still be taken back.
    assert heard(GET.replace(b"/now", b"/fails") + CLOSE).startswith(b"HTTP/1.1 500 ")
    assert heard(GET.replace(b"/now", b"/fails-late") + b"\r\n").endswith(b"3\r\nand\r\n")
    assert "an answer broke off" in caplog.text


def test_a_client_that_leaves_is_noticed() -> None:
    async def scene(house: House) -> None:
        _, writer = await asyncio.open_connection("127.0.0.1", house.port)
        writer.write(GET.replace(b"/now", b"/leaves") + b"\r\n")
        await soon(lambda: asked["leaves"], "the request")
        assert asked["left"] == 0
        # Closed this way it is gone, and has not only finished sending.
        writer.get_extra_info("socket").setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        writer.transport.abort()
        await soon(lambda: asked["left"], "the client is seen to leave")

    serving(scene)


def test_a_body_beyond_what_is_read_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    got = heard(POST + b"Content-Length: 300000\r\nConnection: close\r\n\r\n", b"a" * 300_000)
    assert got.count(b"a") >= 300_000


class TestLate:
    @pytest.fixture(autouse=True)
    def _soon(self, monkeypatch: pytest.MonkeyPatch) -> None:
        for name in ("HEAD_SECONDS", "IDLE_SECONDS", "LINGER_SECONDS", "STALL_SECONDS"):
            monkeypatch.setattr(limits, name, 0.4)
        monkeypatch.setattr(limits, "SWEEP", 0.1)

    @pytest.mark.parametrize(
        ("sent", "statuses"),
        [
            (b"", b""),
            (b"\r\n", b"408"),
            (b"GET / HT", b"408"),
            (GET, b"408"),
            (GET + b"\r\n", b"200"),
            (GET + b"\r\nGET / H", b"200408"),
        ],
    )
    def test_a_connection_that_waits_too_long_ends(self, sent: bytes, statuses: bytes) -> None:
        """The client waits, so that only the limit ends it."""
        got = heard(sent)
        assert b"".join(part[:3] for part in got.split(b"HTTP/1.1 ")[1:]) == statuses

    def test_whoever_takes_nothing_is_cut_off(self) -> None:
        async def scene(house: House) -> None:
            reader, writer = await asyncio.open_connection("127.0.0.1", house.port, limit=1024)
            reader._transport.pause_reading()  # type: ignore[attr-defined]  # the one way to read nothing
            writer.write((GET.replace(b"/now", b"/big") + b"\r\n") * 20)
            await house.holds(1)
            await house.holds(0)
            writer.transport.abort()

        serving(scene)

    def test_what_comes_after_the_end_is_thrown_away_for_a_moment_only(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(limits, "LINGER_BYTES", 100_000)
        monkeypatch.setattr(limits, "LINGER_SECONDS", 30.0)

        async def scene(house: House) -> None:
            reader, writer = await asyncio.open_connection("127.0.0.1", house.port)
            writer.write(GET + b"Content-Length: 9000000\r\n\r\n")
            assert (await reader.read()).startswith(b"HTTP/1.1 200 OK\r\n")
            sent = 0
            with suppress(ConnectionError):
                while sent < 9_000_000:
                    writer.write(b"a" * 60_000)
                    await writer.drain()
                    await asyncio.sleep(0.05)
                    sent += 60_000
            assert sent < 1_000_000
            writer.transport.abort()

        serving(scene)


def test_without_room_the_longest_silent_gives_way() -> None:
    async def scene(house: House) -> None:
        first = await asyncio.open_connection("127.0.0.1", house.port)
        await house.holds(1)
        rest = [await asyncio.open_connection("127.0.0.1", house.port) for _ in range(3)]
        for _, writer in rest:
            writer.write(GET + b"\r\n")
        for reader, _ in rest:
            assert (await reader.readuntil(b"\r\n\r\n")).startswith(b"HTTP/1.1 200")
        assert await asyncio.wait_for(first[0].read(), PATIENCE) == b""
        for _, writer in (first, *rest):
            writer.transport.abort()

    serving(scene, connections=3)


def test_with_all_at_work_the_next_waits() -> None:
    async def scene(house: House) -> None:
        slow = GET.replace(b"/now", b"/slow") + CLOSE
        answers = await asyncio.gather(*(house.say(slow) for _ in range(5)))
        assert [answer[-4:] for answer in answers] == [b"done"] * 5

    serving(scene, connections=1)


def test_without_files_it_tries_again(monkeypatch: pytest.MonkeyPatch) -> None:
    async def scene(house: House) -> None:
        real = house.worker._listener
        fails = iter([OSError(errno.EMFILE, "too many open files"), OSError(errno.ECONNABORTED, "gone")])

        class Listener:
            def __getattr__(self, name: str) -> Any:
                return getattr(real, name)

            def accept(self) -> Any:
                for error in fails:
                    raise error
                return real.accept()

        house.worker._listener = Listener()  # type: ignore[assignment]
        assert (await house.say(GET + CLOSE)).startswith(b"HTTP/1.1 200")

    serving(scene)


def test_the_stop_takes_in_who_has_connected_and_answers_what_was_asked() -> None:
    async def scene(house: House) -> None:
        silent = await asyncio.open_connection("127.0.0.1", house.port)
        one = asyncio.create_task(house.say(GET.replace(b"/now", b"/slow") + b"\r\n"))
        piped = asyncio.create_task(house.say(GET.replace(b"/now", b"/slow") + b"\r\n" + GET + b"\r\n"))
        await house.holds(3)
        await soon(lambda: asked["slow"] == 2, "both requests")
        # In the listener's queue, and not taken in yet.
        house.worker._pause()
        late = socket.create_connection(("127.0.0.1", house.port))
        late.sendall(GET + b"\r\n")
        house.stop()
        assert (await one).endswith(b"done")
        assert (await piped).endswith(b"now")
        assert await silent[0].read() == b""
        assert (await asyncio.to_thread(late.recv, 65536)).startswith(b"HTTP/1.1 200")
        late.close()
        silent[1].close()
        with pytest.raises(ConnectionRefusedError):
            await asyncio.open_connection("127.0.0.1", house.port)

    assert serving(scene)


def test_the_stop_has_an_end() -> None:
    async def scene(house: House) -> None:
        _, writer = await asyncio.open_connection("127.0.0.1", house.port)
        writer.write(GET.replace(b"/now", b"/leaves") + b"\r\n")
        await soon(lambda: asked["leaves"], "the request")
        house.stop()
        assert await house.ended is False
        writer.transport.abort()

    assert serving(scene, within=0.5) is False


def test_a_worker_that_no_longer_looks_who_is_late_ends(monkeypatch: pytest.MonkeyPatch) -> None:
    """Another takes its place: no limit of time would hold in it."""

    def fails(_: Any, now: float) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(Connection, "check", fails)
    monkeypatch.setattr(limits, "SWEEP", 0.05)

    async def scene(house: House) -> None:
        _, writer = await asyncio.open_connection("127.0.0.1", house.port)
        await asyncio.wait({house.ended}, timeout=PATIENCE)
        assert house.ended.done()
        writer.transport.abort()

    with pytest.raises(ZeroDivisionError):
        serving(scene)


def test_as_many_files_as_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, int]] = []
    monkeypatch.setattr(resource, "setrlimit", lambda _, wanted: asked.append(wanted))
    unlimited = resource.RLIM_INFINITY
    for have, connections, raised in (
        ((256, 4096), 4096 - 256, [(4096, 4096)]),
        ((unlimited, unlimited), limits.CONNECTIONS, []),
        ((1024, unlimited), limits.CONNECTIONS, [(limits.CONNECTIONS + 256, unlimited)]),
        ((100, 100), 16, []),
    ):
        asked.clear()
        monkeypatch.setattr(resource, "getrlimit", lambda _, have=have: have)
        assert worker.affordable() == connections
        assert asked == raised


class TestSupervisor:
    """With workers that only tell that they live; each test sends the signals to this very process."""

    @staticmethod
    def run(work: Callable[[int, int], int], script: Callable[[], None], **more: Any) -> tuple[int, list[str]]:
        greeted: list[str] = []

        def greet() -> None:
            greeted.append("hello")
            threading.Thread(target=script).start()

        listener = socket.create_server(("127.0.0.1", 0))
        chosen = {"workers": 2, "notice": 0.0, "within": 10 * PATIENCE, **more}
        return Supervisor(work, listener, **chosen).run(greet), greeted

    @staticmethod
    def obedient(lifeline: int, ready: int) -> int:
        os.write(ready, b"1")
        os.read(lifeline, 1)
        return 0

    @staticmethod
    def stubborn(lifeline: int, ready: int, told: int | None = None) -> int:
        """Serve until killed: told to stop, say so and go on."""
        os.write(ready, b"1")
        os.read(lifeline, 1)
        if told is not None:
            os.write(told, b"1")
        threading.Event().wait(2 * PATIENCE)
        return 0

    @staticmethod
    def children() -> list[int]:
        with open(f"/proc/{os.getpid()}/task/{os.getpid()}/children") as listed:
            return [int(child) for child in listed.read().split()]

    def test_stops_when_told(self) -> None:
        assert self.run(self.obedient, lambda: os.kill(os.getpid(), signal.SIGTERM)) == (0, ["hello"])

    def test_replaces_a_worker(self, capfd: pytest.CaptureFixture[str]) -> None:
        def script() -> None:
            victim, other = self.children()
            os.kill(victim, signal.SIGKILL)
            until(lambda: len(now := self.children()) == 2 and victim not in now and other in now, "another worker")
            os.kill(os.getpid(), signal.SIGINT)

        assert self.run(self.obedient, script)[0] == 0
        assert "ended with signal 9 and is replaced" in capfd.readouterr().err

    def test_time_ends_it(self, capfd: pytest.CaptureFixture[str]) -> None:
        """Left to themselves the workers would end too, later and with 0."""
        assert self.run(self.stubborn, lambda: os.kill(os.getpid(), signal.SIGTERM), within=1.0)[0] == 1
        assert "before every request was answered" in capfd.readouterr().err

    def test_a_second_signal_ends_it(self, capfd: pytest.CaptureFixture[str]) -> None:
        hears, told = os.pipe()

        def twice() -> None:
            os.kill(os.getpid(), signal.SIGTERM)
            # Two that come at once are one signal.
            os.read(hears, 1)
            os.kill(os.getpid(), signal.SIGTERM)

        assert self.run(partial(self.stubborn, told=told), twice)[0] == 1
        assert "before every request was answered" in capfd.readouterr().err
        os.close(hears)
        os.close(told)

    def test_says_when_none_can_start(self, capfd: pytest.CaptureFixture[str]) -> None:
        def broken(lifeline: int, ready: int) -> int:
            raise OSError("no such luck")

        assert self.run(broken, lambda: None) == (1, [])
        said = capfd.readouterr().err
        assert "no worker could start" in said
        assert "no such luck" in said
