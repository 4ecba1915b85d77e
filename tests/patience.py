"""How long a test waits, and the servers it waits for: minutes, and nothing is timed.

A machine may be shared and slow. What a test waits for is looked for again and again, and only after some minutes taken
for lost. ``python -m tests.patience PORT PID`` waits for a server that a script has started.
"""

from __future__ import annotations

import asyncio
import http.client
import os
import random
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final, TypeVar

#: Seconds after which what is waited for counts as lost. No test is about this number.
PATIENCE: Final = 300.0
#: Seconds between two looks.
PAUSE: Final = 0.05
#: Systems take the near end of an outgoing connection from higher ports than these, so that none of them is in the way.
PORTS: Final = range(20_000, 32_000)

Found = TypeVar("Found")


def until(look: Callable[[], Found], what: str, *, pause: float = PAUSE) -> Found:
    """Look again and again until there is something, and return it; fail with what it was in the end."""
    for _ in range(round(PATIENCE / pause)):
        if found := look():
            return found
        time.sleep(pause)
    raise AssertionError(f"never: {what}")


async def soon(look: Callable[[], Found], what: str, *, pause: float = PAUSE) -> Found:
    """Do the same, and let other tasks run meanwhile."""
    for _ in range(round(PATIENCE / pause)):
        if found := look():
            return found
        await asyncio.sleep(pause)
    raise AssertionError(f"never: {what}")


def free_port() -> int:
    """Return a port nobody listens on."""
    for port in random.SystemRandom().sample(PORTS, 100):
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port
    raise RuntimeError(f"of {len(PORTS)} ports a hundred were in use")


def status(port: int, path: str = "/health/live") -> int:
    """Return the status of an answer to a request on a new connection; 0 where nobody answers."""
    client = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    try:
        client.request("GET", path)
        return client.getresponse().status
    except (OSError, http.client.HTTPException):
        return 0
    finally:
        client.close()


def turned(port: int) -> bool:
    """Say whether a server that was told to stop has begun to: it is not ready, or takes nobody in."""
    return status(port, "/health/ready") != 200


@contextmanager
def running(command: Sequence[str], *, text: bool = True, **more: Any) -> Iterator[subprocess.Popen[Any]]:
    """Run a command beside the test; whatever happens, it is gone afterwards."""
    with subprocess.Popen(command, text=text, **more) as process:
        try:
            yield process
        finally:
            process.kill()


def answers(port: int, lives: Callable[[], bool], *, path: str = "/health/live", pause: float = PAUSE) -> None:
    """Wait until a server answers, as long as its process lives."""

    def look() -> bool:
        if not lives():
            raise RuntimeError("the server ended before it answered")
        return status(port, path) == 200

    until(look, f"an answer on port {port}", pause=pause)


@contextmanager
def serving(command: Sequence[str], port: int, **more: Any) -> Iterator[subprocess.Popen[str]]:
    """Run a command that serves on a port, and wait until it does."""
    with running(command, **more) as process:
        answers(port, lambda: process.poll() is None)
        yield process


def children(pid: int) -> list[int]:
    """Return the ids of the processes a process has started, where the system shows them."""
    try:
        tasks = list(Path(f"/proc/{pid}/task").iterdir())
        return [int(child) for task in tasks for child in (task / "children").read_text().split()]
    except (FileNotFoundError, ProcessLookupError):
        return []


def workers(pid: int) -> list[int]:
    """Return the ids of a server's processes that calculate: those forked by the one that has the engine loaded."""
    return [grand for child in children(pid) for grand in children(child)]


def family(pid: int) -> list[int]:
    """Return a process and all that it has started."""
    return [pid, *(each for child in children(pid) for each in family(child))]


def alive(pid: int) -> bool:
    """Say whether a process has not ended; one that nobody has asked after yet has."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except OSError:
        return False


def _lives(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


if __name__ == "__main__":
    _port, _pid = map(int, sys.argv[1:])
    answers(_port, lambda: _lives(_pid))
