"""A server of two workers, with a plugin whose calculator never ends."""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

import httpx
from tests.killers import NAME, plugin
from tests.patience import PATIENCE, free_port, running, until

#: A server of two workers, whose queue holds two.
RUN = (
    "import sys; from latewood_api.dispatch import workers; workers.WAITING = 2; from latewood.cli import main; "
    "sys.exit(main())"
)
CALCULATE = f"/v1/calculate/{NAME}"
COVERAGE = {"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}


@dataclass
class Running:
    process: subprocess.Popen[str]
    port: int
    log: IO[str]
    threads: ThreadPoolExecutor

    def ask(self, method: str, path: str, body: Any = None) -> httpx.Response:
        content = body if isinstance(body, bytes | None) else json.dumps(body).encode()
        media = "text/csv" if path.endswith(".csv") else "application/json"
        address = f"http://127.0.0.1:{self.port}{path}"
        return httpx.request(method, address, content=content, headers={"content-type": media}, timeout=PATIENCE)

    def later(self, body: bytes) -> Future[httpx.Response]:
        return self.threads.submit(self.ask, "POST", CALCULATE, body)

    def said(self) -> str:
        self.log.seek(0)
        return self.log.read()


@contextmanager
def started(*arguments: str, **variables: str) -> Iterator[Running]:
    """Run a server that has the plugin, with variables in its environment; whatever happens, it is gone afterwards."""
    port = free_port()
    command = [sys.executable, "-c", RUN, "serve", "--port", str(port), "--workers", "2", *arguments]
    with (
        tempfile.TemporaryDirectory() as folder,
        tempfile.TemporaryFile("w+") as log,
        ThreadPoolExecutor(16) as threads,
        running(command, stdout=subprocess.DEVNULL, stderr=log, env={**plugin(Path(folder)), **variables}) as process,
    ):
        found = Running(process, port, log, threads)
        until(lambda: process.poll() is not None or ready(found), "the server")
        yield found


def ready(server: Running) -> bool:
    try:
        return server.ask("GET", "/health/ready").status_code == 200
    except httpx.HTTPError:
        return False


def problem(response: httpx.Response, slug: str) -> list[dict[str, Any]]:
    """Return the faults of a problem of this kind."""
    assert response.status_code == 503, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert response.json()["type"] == f"/problems/{slug}"
    faults: list[dict[str, Any]] = response.json()["errors"]
    return faults
