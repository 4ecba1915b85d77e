"""Servers of our own to mistreat, what they cost in memory, and a good client who must be served meanwhile."""

from __future__ import annotations

import asyncio
import http.client
import json
import re
import resource
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.patience import PATIENCE, answers, free_port, until

from latewood_api import body

BODY = {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}
#: Open files this process may have, as `ulimit -Hn` says.
ALLOWED = resource.getrlimit(resource.RLIMIT_NOFILE)[1]
#: The limits of a connection are the server's; a crowd of ten thousand needs as many files on this side.
FILES = 11_000 if ALLOWED == resource.RLIM_INFINITY else min(11_000, ALLOWED)


@pytest.fixture(scope="session")
def files() -> None:
    """Allow this process as many open files as a crowd has."""
    if resource.getrlimit(resource.RLIMIT_NOFILE)[0] < FILES:
        resource.setrlimit(resource.RLIMIT_NOFILE, (FILES, ALLOWED))


class Server:
    """A `latewood serve` of its own on a free port; ``deadline`` are seconds for a JSON body."""

    def __init__(self, *arguments: str, deadline: float = body.DEADLINE) -> None:
        self.port = free_port()
        run = f"import sys; from latewood_api import body; body.DEADLINE = {deadline}; from latewood.cli import main; "
        command = [sys.executable, "-c", run + "sys.exit(main())", "serve", "--port", str(self.port), *arguments]
        self.log = tempfile.TemporaryFile("w+")  # noqa: SIM115  # closed by `close`
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=self.log)
        try:
            answers(self.port, lambda: self.process.poll() is None)
        except BaseException:
            print(self.said())
            self.close()
            raise

    def said(self) -> str:
        """Return what the server wrote to stderr so far."""
        self.log.seek(0)
        return self.log.read()

    def children(self) -> list[int]:
        """Return the ids of all processes the server has started, at any remove."""
        return descendants(self.process.pid)

    def workers(self) -> list[int]:
        """Return the ids of the processes that calculate: those forked by the one that has the engine loaded."""
        pid = self.process.pid
        return [grand for child in children(pid) for grand in children(child)]

    def memory(self) -> float:
        """Return the megabytes the server holds; what processes share is counted once (Pss)."""
        total = 0
        for pid in (self.process.pid, *self.children()):
            try:
                rollup = Path(f"/proc/{pid}/smaps_rollup").read_text()
            except (FileNotFoundError, ProcessLookupError):
                # A worker that was replaced meanwhile.
                continue
            total += int(next(line for line in rollup.splitlines() if line.startswith("Pss:")).split()[1])
        return total / 1024

    def connections(self) -> int:
        """Return how many established connections the server's side still has."""
        port = f":{self.port:04X}"
        lines = Path("/proc/net/tcp").read_text().splitlines()[1:]
        return sum(local.endswith(port) and state == "01" for _, local, _, state, *_ in map(str.split, lines))

    def ask(self, method: str = "GET", path: str = "/health/live", body: bytes | None = None) -> int:
        """Send one good request and return the status."""
        client = http.client.HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE)
        try:
            client.request(method, path, body, {"Content-Type": "application/json"} if body else {})
            response = client.getresponse()
            response.read()
            return response.status
        finally:
            client.close()

    def good(self, times: int) -> None:
        """Calculate again and again, each time on a new connection; hold each to be answered."""
        for _ in range(times):
            assert self.ask("POST", "/v1/calculate/coverage", json.dumps(BODY).encode()) == 200

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Tell the server to stop, wait, and return its exit code."""
        self.process.send_signal(number)
        return self.process.wait(PATIENCE)

    def close(self) -> None:
        """End the server, whatever state it is in."""
        self.process.kill()
        self.process.wait()
        self.log.close()


def children(pid: int) -> list[int]:
    """Return the ids of the processes a process has started."""
    try:
        tasks = list(Path(f"/proc/{pid}/task").iterdir())
        return [int(child) for task in tasks for child in (task / "children").read_text().split()]
    except (FileNotFoundError, ProcessLookupError):
        return []


def descendants(pid: int) -> list[int]:
    """Return the ids of all processes below one."""
    return [each for child in children(pid) for each in (child, *descendants(child))]


@pytest.fixture
def start(files: None) -> Iterator[Callable[..., Server]]:
    """Start servers; whatever happens, they are gone afterwards."""
    started = []

    def begin(*arguments: str, **more: float) -> Server:
        server = Server(*arguments, **more)
        started.append(server)
        return server

    yield begin
    for server in started:
        server.close()


@pytest.fixture(scope="module")
def server(files: None) -> Iterator[Server]:
    """One server for a module; it must survive it without one fault of its own, and stop in order."""
    found = Server()
    pids = found.workers()
    try:
        yield found
        assert found.ask() == 200
        assert len(until(lambda: found.workers()[1:], "both workers")) == len(pids) - 1, found.said()
        assert found.stop() == 0
        assert "Traceback" not in found.said(), found.said()
    finally:
        found.close()


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


async def _exchange(port: int, sent: bytes, *, answers: int, finish: bool) -> bytes:
    reader, writer = await asyncio.open_connection("127.0.0.1", port)
    got = b""
    try:
        writer.write(sent)
        if finish:
            writer.write_eof()
        async with asyncio.timeout(PATIENCE):
            while len(HEAD.findall(got)) < answers and (more := await reader.read(65536)):
                got += more
            # With nothing more to come from here the server ends the connection, after all it has to say.
            if not finish:
                writer.write_eof()
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
    """Send bytes, wait for so many answers, and return all that comes until the connection ends."""

    def send(port: int, sent: bytes, *, answers: int, finish: bool = False) -> bytes:
        return asyncio.run(_exchange(port, sent, answers=answers, finish=finish))

    return send
