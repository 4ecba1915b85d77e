"""The servers that are compared, each a process of its own on a free port."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
from pathlib import Path
from types import TracebackType
from typing import Self

TICK = os.sysconf("SC_CLK_TCK")


def free_port() -> int:
    """Return a port nobody listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


class Process:
    """A server process: started, waited for, measured by the CPU time of its whole process tree."""

    def __init__(self, module: str, *arguments: str) -> None:
        self.port = free_port()
        self.started = time.perf_counter()
        command = [sys.executable, "-m", module, *arguments, "--port", str(self.port)]
        self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)

    def wait(self, path: str = "/health/live") -> float:
        """Return the seconds from start to the first 200."""
        request = f"GET {path} HTTP/1.1\r\nHost: bench\r\nConnection: close\r\n\r\n".encode()
        while time.perf_counter() - self.started < 30:
            if self._process.poll() is not None:
                raise RuntimeError(f"the server ended with {self._process.returncode}")
            try:
                with socket.create_connection(("127.0.0.1", self.port), timeout=5) as connection:
                    connection.sendall(request)
                    if connection.recv(64).startswith(b"HTTP/1.1 200"):
                        return time.perf_counter() - self.started
            except OSError:
                time.sleep(0.005)
        raise RuntimeError("the server did not answer within 30 s")

    @property
    def pid(self) -> int:
        """The server's process id."""
        return self._process.pid

    def cpu(self) -> float:
        """Return the user and system seconds spent so far by the process and its children."""
        return sum(_cpu(pid) for pid in _tree(self._process.pid))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.terminate()
        self._process.wait(10)


def _cpu(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICK


def _tree(pid: int) -> list[int]:
    found = [pid]
    for task in Path(f"/proc/{pid}/task").iterdir():
        for child in (task / "children").read_text().split():
            found += _tree(int(child))
    return found
