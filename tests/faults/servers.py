"""A server of our own to mistreat, what it costs in memory, and a good client of it."""

from __future__ import annotations

import http.client
import itertools
import json
import os
import signal
import socket
import ssl
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import IO, Any, Final

from tests.patience import PATIENCE, answers, children, family, free_port, workers

from latewood_api import body

BODY: Final = {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}
#: Each client has an address of its own: a proxy lets none ask as often as they do together, and ports would run out.
ADDRESSES: Final = (f"127.{a}.{b}.{c}" for a, b, c in itertools.product(range(1, 200), range(250), range(1, 250)))


class Mistreated:
    """What is common to both: raw connections, a good client, and what the processes hold."""

    name: str
    #: Where clients connect, and whether they speak TLS.
    port: int
    tls: ssl.SSLContext | None = None
    #: Kilobytes a connection may cost that has sent nothing, half a head, or a whole request before it rests.
    each: int

    def roots(self) -> list[int]:
        """Return the ids of the processes that were started, without those that they started."""
        raise NotImplementedError

    def said(self) -> str:
        """Return what the processes wrote to stderr so far."""
        raise NotImplementedError

    def connect(self, *, hello: bool = True) -> socket.socket:
        """Return a new connection; without ``hello`` one that stays silent where TLS begins with a word."""
        found = socket.create_connection(("127.0.0.1", self.port), PATIENCE, (next(ADDRESSES), 0))
        if self.tls and hello:
            return self.tls.wrap_socket(found, server_hostname="deck.example", suppress_ragged_eofs=True)
        return found

    def opening(self) -> dict[str, Any]:
        """Return what `asyncio.open_connection` takes to connect."""
        more = {"ssl": self.tls, "server_hostname": "deck.example"} if self.tls else {}
        return {"host": "127.0.0.1", "port": self.port, "local_addr": (next(ADDRESSES), 0), **more}

    def memory(self) -> float:
        """Return the megabytes all processes hold; what they share is counted once (Pss)."""
        total = 0
        for pid in self.processes():
            try:
                rollup = Path(f"/proc/{pid}/smaps_rollup").read_text()
            except (FileNotFoundError, ProcessLookupError):
                # A worker that was replaced meanwhile.
                continue
            total += int(next(line for line in rollup.splitlines() if line.startswith("Pss:")).split()[1])
        return total / 1024

    def processes(self) -> list[int]:
        """Return the ids of all processes."""
        return [pid for root in self.roots() for pid in family(root)]

    def connections(self) -> int:
        """Return how many established connections the side of the server still has."""
        return established(self.port)

    def sockets(self) -> int:
        """Return how many sockets the processes that were started hold, the children of nginx among them."""
        found = 0
        for root in self.roots():
            for pid in (root, *children(root)):
                for entry in Path(f"/proc/{pid}/fd").iterdir():
                    with suppress(FileNotFoundError):
                        found += os.readlink(entry).startswith("socket:")
        return found

    def ask(self, method: str = "GET", path: str = "/health/live", body: bytes | None = None) -> int:
        """Send one good request and return the status."""
        client = http.client.HTTPConnection("127.0.0.1", self.port)
        client.sock = self.connect()
        try:
            headers = {"Host": "deck.example"} | ({"Content-Type": "application/json"} if body else {})
            client.request(method, path, body, headers)
            response = client.getresponse()
            response.read()
            return response.status
        finally:
            client.close()

    def good(self, times: int) -> None:
        """Calculate again and again, each time on a new connection; hold each to be answered."""
        for _ in range(times):
            assert self.ask("POST", "/v1/calculate/coverage", json.dumps(BODY).encode()) == 200


class Server(Mistreated):
    """A `latewood serve` of its own on a free port; ``deadline`` are seconds for a JSON body."""

    name = "bare"
    each = 12

    def __init__(self, *arguments: str, deadline: float = body.DEADLINE, environment: Any = None) -> None:
        self.port = free_port()
        run = f"import sys; from latewood_api import body; body.DEADLINE = {deadline}; from latewood.cli import main; "
        command = [sys.executable, "-c", run + "sys.exit(main())", "serve", "--port", str(self.port), *arguments]
        self.log = tempfile.TemporaryFile("w+")  # noqa: SIM115  # closed by `close`
        self.process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=self.log, env=environment)
        try:
            answers(self.port, lambda: self.process.poll() is None)
        except BaseException:
            print(self.said())
            self.close()
            raise

    def roots(self) -> list[int]:
        """Return the id of the server."""
        return [self.process.pid]

    def said(self) -> str:
        """Return what the server wrote to stderr so far."""
        return read(self.log)

    def children(self) -> list[int]:
        """Return the ids of all processes the server has started, at any remove."""
        return family(self.process.pid)[1:]

    def workers(self) -> list[int]:
        """Return the ids of the processes that calculate."""
        return workers(self.process.pid)

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Tell the server to stop, wait, and return its exit code."""
        self.process.send_signal(number)
        return self.process.wait(PATIENCE)

    def close(self) -> None:
        """End the server, whatever state it is in."""
        self.process.kill()
        self.process.wait()
        self.log.close()


def read(log: IO[str]) -> str:
    """Return a whole file that others write to."""
    return Path(f"/proc/self/fd/{log.fileno()}").read_text()


def established(port: int) -> int:
    """Return how many established connections have this port on the side of the server."""
    mark = f":{port:04X}"
    lines = Path("/proc/net/tcp").read_text().splitlines()[1:]
    return sum(local.endswith(mark) and state == "01" for _, local, _, state, *_ in map(str.split, lines))


def pieces(first: bytes, again: bytes) -> Iterator[bytes]:
    """Yield a beginning, and then the same again and again."""
    yield first
    yield from itertools.repeat(again)
