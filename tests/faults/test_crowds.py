"""Very many clients at once, who want nothing or want it slowly, beside one who wants an answer.

Allowances of memory are per connection: what the interpreter needs for a socket, its transport and our own objects.
"""

from __future__ import annotations

import asyncio
import resource
import socket
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from tests.faults.load import IDLE, crowd
from tests.faults.rows import NOT_HELD
from tests.faults.vectors import GET, POST
from tests.patience import PATIENCE, until

pytestmark = pytest.mark.faults

#: Open files this process may have, as `ulimit -Hn` says; and a crowd of ten thousand, unless that is too few for it.
#: What is printed says how many there were.
ALLOWED = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
CROWD = 10_000 if ALLOWED == resource.RLIM_INFINITY else min(10_000, (ALLOWED - 1_000) // 3 * 3 + 1)
#: Kilobytes a request in progress may cost beside its body: its task, its headers, the objects of the framework.
ASKED = 24

Show = Callable[[str], None]


def answered(members: list[socket.socket]) -> Counter[str]:
    """Return what the members got, or get if they wait: a status, or "closed"."""
    found: Counter[str] = Counter()
    for member in members:
        try:
            data = member.recv(200)
            found[data[9:12].decode() if data else "closed"] += 1
        except ConnectionError:
            found["reset"] += 1
    return found


def test_ten_thousand_idle_connections_keep_nobody_out(server: Any, show: Show) -> None:
    """A third has been answered and rests, a third has sent half a head, a third nothing; the last go first."""
    server.good(100)
    before = server.memory()
    with crowd(server, CROWD, lambda at: IDLE[at * 3 // CROWD]) as members:
        there, during = server.connections(), server.memory()
        server.good(100)
        resting = answered(members[: len(members) // 3])
    until(lambda: server.connections() == 0, "all connections are gone")
    after = server.memory()
    show(
        f"{server.name}: {len(members)} idle connections, {there} at once: {before:.0f} → {during:.0f} → {after:.0f} MB"
    )
    show(f"resting were answered {dict(resting)}")
    assert resting == {"200": CROWD // 3}
    assert during - before < CROWD * server.each / 1024
    # What the interpreter keeps for the next crowd, which then costs no more: see below.
    assert after - before < CROWD * server.each / 1024


def test_the_second_crowd_costs_no_more_than_the_first(bare: Any, show: Show) -> None:
    """Of 3000 connections that are reset each keeps nothing: 3 kB of each would make 51 MB from the second crowd on."""
    figures = []
    for _ in range(8):
        with crowd(bare, 3000, lambda at: GET + b"\r\n"):
            figures.append(bare.memory())
        until(lambda: bare.connections() == 0, "all connections are gone")
    after = bare.memory()
    show(f"eight crowds of 3000: {', '.join(f'{figure:.0f}' for figure in figures)} MB, then {after:.0f} MB")
    assert figures[-1] - figures[1] < 20


def test_many_slow_bodies_at_once(server: Any, show: Show) -> None:
    """2000 bodies of 900 kB are promised, a quarter of each is sent, and no more comes."""
    number, promised, sent = 2000, 900_000, 225_000
    before = server.memory()
    head = POST + b"Content-Length: %d\r\n\r\n" % promised

    async def one() -> int:
        reader, writer = await asyncio.open_connection(**server.opening())
        try:
            writer.write(head + b" " * sent)
            answer = await asyncio.wait_for(reader.read(200), PATIENCE)
        except ConnectionError:
            return 0
        finally:
            writer.transport.abort()
        return int(answer[9:12]) if answer else 0

    async def all_of_them() -> tuple[list[int], float]:
        clients = asyncio.gather(*(one() for _ in range(number)))
        beside = asyncio.create_task(asyncio.to_thread(server.good, 50))
        during = 0.0
        while not clients.done():
            await asyncio.sleep(0.5)
            during = max(during, await asyncio.to_thread(server.memory))
        await beside
        return await clients, during

    statuses, during = asyncio.run(all_of_them())
    show(f"{server.name}: {number} slow bodies, {number * sent / 1e6:.0f} MB: {before:.0f} → {during:.0f} MB")
    show(f"answers {dict(Counter(statuses))}")
    if "many slow bodies at once" in NOT_HELD[server.name]:
        # The server below takes in what the application does not ask for yet.
        show(f"not held by {server.name}: many slow bodies at once")
        assert set(statuses) == {408}
        assert during - before < number * (2 * sent + ASKED * 1024) / 1e6
        _, again = asyncio.run(all_of_them())
        assert again - during < 20
    else:
        # A proxy closes the connection without a word, and keeps what it waits with in files.
        assert set(statuses) <= {0, 408}
        assert during - before < number * sent / 1e6
