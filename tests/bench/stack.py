"""The servers that are compared, each a process of its own on a free port."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from tests.patience import PATIENCE, answers, family, free_port

TICK = os.sysconf("SC_CLK_TCK")


class Process:
    """A server process: started, waited for, measured by the CPU time of its whole process tree."""

    def __init__(self, module: str, *arguments: str, environment: Mapping[str, str] | None = None) -> None:
        self.port = free_port()
        self.started = time.perf_counter()
        command = [sys.executable, "-m", module, *arguments, "--port", str(self.port)]
        # Installed code is compiled once: a start that compiles it anew measures the compiler.
        compiled = {**(os.environ if environment is None else environment), "PYTHONDONTWRITEBYTECODE": ""}
        self._process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=compiled)

    def wait(self, path: str = "/health/live") -> float:
        """Return the seconds from start to the first 200."""
        answers(self.port, self.lives, path=path, pause=0.005)
        return time.perf_counter() - self.started

    def lives(self) -> bool:
        """Say whether the server has not ended."""
        return self._process.poll() is None

    @property
    def pid(self) -> int:
        """The server's process id."""
        return self._process.pid

    def memory(self) -> float:
        """Return the megabytes the process and its children hold; what they share is counted once (Pss)."""
        lines = [Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines() for pid in family(self._process.pid)]
        return sum(int(line.split()[1]) for one in lines for line in one if line.startswith("Pss:")) / 1024

    def cpu(self) -> float:
        """Return the user and system seconds spent so far by the process and its children."""
        return sum(_cpu(pid) for pid in family(self._process.pid))

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._process.terminate()
        self._process.wait(PATIENCE)


def _cpu(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / TICK
