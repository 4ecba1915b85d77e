"""Servers of our own to mistreat, and a good client who must be served meanwhile.

What every server must hold is tried on the bare one and on the recipe. Tests of the recipe carry its marker: they need
nginx as a distribution installs it, and are run by `.ci/recipe`.
"""

from __future__ import annotations

import asyncio
import re
import resource
import socket
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from tests.faults.proxied import Recipe
from tests.faults.servers import Mistreated, Server
from tests.faults.vectors import GOOD
from tests.patience import PATIENCE, until

#: Open files this process may have, as `ulimit -Hn` says.
ALLOWED = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
#: The limits of a connection are the server's; a crowd of ten thousand needs as many files on this side.
FILES = 11_000 if ALLOWED == resource.RLIM_INFINITY else min(11_000, ALLOWED)


@pytest.fixture(scope="session")
def files() -> None:
    """Allow this process as many open files as a crowd has."""
    if resource.getrlimit(resource.RLIMIT_NOFILE)[0] < FILES:
        resource.setrlimit(resource.RLIMIT_NOFILE, (FILES, ALLOWED))


@pytest.fixture
def start(files: None) -> Iterator[Callable[..., Server]]:
    """Start servers; whatever happens, they are gone afterwards."""
    started = []

    def begin(*arguments: str, **more: Any) -> Server:
        server = Server(*arguments, **more)
        started.append(server)
        return server

    yield begin
    for server in started:
        server.close()


@pytest.fixture(scope="module")
def bare(files: None) -> Iterator[Server]:
    """One server for a module; it must survive it without one fault of its own, and stop in order."""
    found = Server()
    pids = found.workers()
    try:
        yield found
        # A worker that was given up is replaced when there is something for it to do; what others left may wait first.
        ask = ("POST", "/v1/calculate/area", GOOD)
        assert until(lambda: (status := found.ask(*ask)) != 503 and status, "a place among the waiting") == 200
        assert len(until(lambda: found.workers()[1:], "both workers")) == len(pids) - 1, found.said()
        assert found.stop() == 0
        assert "Traceback" not in found.said(), found.said()
    finally:
        found.close()


@pytest.fixture(scope="session")
def recipe(files: None) -> Iterator[Recipe]:
    """The recipe, for all tests of it: both instances must survive them without one fault of their own."""
    found = Recipe()
    try:
        yield found
        assert found.ask() == 200
        assert [instance.stop() for instance in found.instances] == [0, 0]
        assert found.process.poll() is None
        assert not re.search(r"Traceback|\[(?:emerg|alert|crit)\]", found.said()), found.said()
    finally:
        found.close()


@pytest.fixture(scope="module", params=["bare", pytest.param("recipe", marks=pytest.mark.recipe)])
def server(request: pytest.FixtureRequest) -> Mistreated:
    """Both, one after the other."""
    found: Mistreated = request.getfixturevalue(request.param)
    return found


@pytest.fixture(scope="session")
def show(pytestconfig: pytest.Config) -> Callable[[str], None]:
    """Print a figure, past what captures the output of tests."""
    manager: Any = pytestconfig.pluginmanager.getplugin("capturemanager")

    def line(text: str) -> None:
        with manager.global_and_fixture_disabled():
            print(f"\n  {text}", end="", flush=True)

    return line


#: A status line and all headers of an answer.
HEAD = re.compile(rb"HTTP/1\.1 \d{3} .*?\r\n\r\n", re.DOTALL)


def half_close(writer: asyncio.StreamWriter) -> None:
    """Say that no more comes, and go on listening; TLS has no word for it, so there it is said below it."""
    if writer.can_write_eof():
        writer.write_eof()
    else:
        writer.get_extra_info("socket").shutdown(socket.SHUT_WR)


async def _exchange(server: Mistreated, sent: bytes, *, answers: int, finish: bool, then: bytes) -> bytes:
    reader, writer = await asyncio.open_connection(**server.opening())
    got = b""
    try:
        writer.write(sent)
        if finish:
            half_close(writer)
        async with asyncio.timeout(PATIENCE):
            while len(HEAD.findall(got)) < answers and (more := await reader.read(65536)):
                got += more
            # With nothing more to come from here the server ends the connection, after all it has to say.
            if then:
                writer.write(then)
            elif not finish:
                half_close(writer)
            while more := await reader.read(65536):
                got += more
    except OSError:
        # It has ended the connection already.
        pass
    finally:
        writer.transport.abort()
    return got


@pytest.fixture(scope="session")
def send_raw() -> Callable[..., bytes]:
    """Send bytes, wait for so many answers, perhaps send more, and return all that comes until the connection ends."""

    def send(server: Mistreated, sent: bytes, *, answers: int, finish: bool = False, then: bytes = b"") -> bytes:
        return asyncio.run(_exchange(server, sent, answers=answers, finish=finish, then=then))

    return send
