"""Requests that are too much: too long, too many, unfinished, inflated. Each is refused, and none is kept in memory."""

from __future__ import annotations

import asyncio
import re
import ssl
import time
from collections.abc import Callable
from typing import Any

import pytest
from tests.faults.rows import NOT_HELD
from tests.faults.servers import pieces
from tests.faults.vectors import ALSO, BLOCK, CHUNKED, GET, POST, TABLE, WHOLE, refused_alike, statuses
from tests.patience import PATIENCE, PAUSE

from latewood_api.body import MAX_TABLE_BYTES

pytestmark = pytest.mark.faults

Raw = Callable[..., bytes]
Show = Callable[[str], None]


@pytest.mark.parametrize("name", WHOLE)
def test_is_refused_and_answered(server: Any, send_raw: Raw, name: str, show: Show) -> None:
    sent, expected, finish = WHOLE[name]
    answer = send_raw(server, sent, answers=len(expected), finish=finish)
    found = statuses(answer)
    held = found == expected or found in ALSO.get(name, [])
    held = held or (server.name == "recipe" and refused_alike(found, expected))
    if name in NOT_HELD[server.name]:
        show(f"not held by {server.name}: {name}: {found}")
        assert not held, "it is held: take it off the list"
        assert len(found) <= len(expected)
        return
    assert held, answer[:600]
    assert found.count(500) == 0


#: Bytes after which a request without end counts as taken in: no proxy of ours takes so many for a head.
SOME = 2_000_000


#: Requests without an end: how they begin, how they go on, and what they are answered.
ENDLESS: dict[str, tuple[bytes, bytes, list[int]]] = {
    "headers": (GET, b"X: " + b"a" * 1000 + b"\r\n", [431]),
    "one header": (GET + b"X: ", BLOCK, [431]),
    "an address": (b"GET /", BLOCK, [431]),
    "line ends": (b"", b"\r\n" * 32768, [431]),
    "a chunk's extension": (POST + CHUNKED + b"1;x=", BLOCK, [400]),
    "trailers": (POST + CHUNKED + b"0\r\n", b"X: " + b"a" * 1000 + b"\r\n", [400]),
    "one trailer": (POST + CHUNKED + b"0\r\nX: ", BLOCK, [400]),
    "chunks of one byte": (POST + CHUNKED, b"1\r\n \r\n" * 10_000, [413]),
    "one chunk": (POST + CHUNKED + b"FFFFFFFF\r\n", BLOCK, [413]),
    "a body of no stated length": (POST + b"\r\n", BLOCK, [415, 400]),
    # A table is read as it comes, up to a limit of its own; the row is answered as one that is too long.
    "a table's row": (TABLE + CHUNKED + b"FFFFFFFF\r\nlength,width\r\n", BLOCK, [200, 413]),
}


@pytest.mark.parametrize("name", ENDLESS)
def test_an_endless_request_is_ended(server: Any, name: str, show: Show) -> None:
    first, again, expected = ENDLESS[name]
    before = server.memory()
    sent, got = 0, b""
    with server.connect() as connection:
        for piece in pieces(first, again):
            try:
                connection.sendall(piece)
            except OSError:
                break
            sent += len(piece)
            if f"endless {name}" in NOT_HELD[server.name] and sent > SOME:
                show(f"not held by {server.name}: endless {name}")
                assert statuses(got) in ([], [200]), "it is held: take it off the list"
                return
            if sent > MAX_TABLE_BYTES:
                # What is ended by time needs some.
                time.sleep(PAUSE)
            assert sent < MAX_TABLE_BYTES + 300_000_000, "it is taken in without end"
            connection.setblocking(False)
            try:
                got += connection.recv(65536)
            except (BlockingIOError, ssl.SSLWantReadError):
                pass
            except OSError:
                break
            connection.settimeout(PATIENCE)
            # A proxy that has refused reads on for a while and throws it away, so that the answer is not lost.
            if any(status >= 400 for status in statuses(got)):
                break
    grown = server.memory() - before
    # Where the connection was reset, the answer may be lost with it.
    first = statuses(got)[:1]
    assert first in ([], *([code] for code in expected)) or refused_alike(first, expected[:1]), got[:300]
    show(f"endless {name}: {statuses(got)}, {sent / 1e6:.1f} MB sent, memory {grown:+.1f} MB")
    assert grown < 20


def test_a_thousand_requests_in_one_go_are_answered_in_order(bare: Any, send_raw: Raw) -> None:
    each = [b"GET /health/live HTTP/1.1\r\nHost: x\r\nX-Request-Id: n%d\r\n\r\n" % at for at in range(999)]
    last = b"GET /health/live HTTP/1.1\r\nHost: x\r\nX-Request-Id: last\r\nConnection: close\r\n\r\n"
    answer = send_raw(bare, b"".join(each) + last, answers=1000)
    assert statuses(answer) == [200] * 1000
    assert re.findall(rb"x-request-id: (\w+)", answer) == [*(b"n%d" % at for at in range(999)), b"last"]


def test_memory_stays_flat_however_often(bare: Any, send_raw: Raw, show: Show) -> None:
    """Everything above, again and again: what is not given back at once would pile up."""

    def round_() -> None:
        for sent, expected, finish in WHOLE.values():
            send_raw(bare, sent, answers=len(expected), finish=finish)

    for _ in range(3):
        round_()
    before = bare.memory()
    for _ in range(15):
        round_()
    after = bare.memory()
    show(f"{15 * len(WHOLE)} hostile requests: {before:.1f} → {after:.1f} MB")
    assert after - before < 10


def test_many_bombs_at_once(bare: Any, show: Show) -> None:
    """100 clients send a body of 20 MB, and 100 one in small chunks that never ends."""

    async def bomb(at: int) -> list[int]:
        reader, writer = await asyncio.open_connection(**bare.opening())
        got = b""
        try:
            writer.write(POST + CHUNKED)
            for _ in range(320):
                writer.write(b"10000\r\n" + BLOCK + b"\r\n" if at % 2 else b"8\r\n" + b"a" * 8 + b"\r\n")
                await writer.drain()
            got = await reader.read(65536)
        except ConnectionError:
            pass
        finally:
            writer.transport.abort()
        return statuses(got)

    async def all_of_them() -> list[list[int]]:
        return await asyncio.gather(*(bomb(at) for at in range(200)))

    before = bare.memory()
    answered = asyncio.run(all_of_them())
    after = bare.memory()
    answered += asyncio.run(all_of_them())
    again = bare.memory()
    answered += asyncio.run(all_of_them())
    third = bare.memory()
    assert {status for one in answered for status in one} <= {400, 408, 413}
    show(f"200 bombs at once: {before:.1f} → {after:.1f} MB, again {again:.1f} and {third:.1f} MB")
    # How many bodies are under way together hangs on the machine; none is kept, so a second time costs no more.
    assert after - before < 100
    assert third - again < 25
    bare.good(20)
