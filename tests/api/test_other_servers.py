"""The application is plain ASGI: it answers the same under servers that are not ours."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack

import httpx
import pytest
from tests.patience import PATIENCE, answers, free_port, running

LOAD = "import sys; from latewood_api.app import create_app; from tests.bundled import bundled; "
PORT = "int(sys.argv[1])"
SERVERS = {
    "own": f"import sys; from latewood_api.server import serve; sys.exit(serve(port={PORT}, notice=0))",
    "uvicorn": LOAD
    + f"import uvicorn; uvicorn.run(create_app(bundled()), port={PORT}, log_level='error', server_header=False)",
    "granian": LOAD
    + "import asyncio; from granian.constants import Interfaces; from granian.server.embed import Server; "
    f"asyncio.run(Server(create_app(bundled()), port={PORT}, interface=Interfaces.ASGI, log_enabled=False).serve())",
}


@pytest.fixture(scope="module")
def addresses() -> Iterator[dict[str, str]]:
    """Start all, so that they load side by side, then wait for each."""
    ports = {name: free_port() for name in SERVERS}
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    with ExitStack() as stack:
        processes = [
            stack.enter_context(running([sys.executable, "-c", program, str(ports[name])], **quiet))
            for name, program in SERVERS.items()
        ]
        for port, process in zip(ports.values(), processes, strict=True):
            answers(port, lambda process=process: process.poll() is None)
        yield {name: f"http://127.0.0.1:{port}" for name, port in ports.items()}


@pytest.mark.parametrize(
    ("method", "path", "body"),
    [
        ("POST", "/v1/calculate/area", b'{"length":"24 ft","width":"16 ft"}'),
        ("POST", "/v1/calculate/area", b'{"length":24}'),
        ("POST", "/v1/calculate/area", b" " * 2_000_000),
        ("POST", "/v1/table/area.csv", b"length,width\r\n24 ft,16 ft\r\n"),
        ("GET", "/v1/cell/area/area?length=24+ft&width=16+ft", None),
        ("GET", "/openapi.json", None),
        ("HEAD", "/openapi.json", None),
        ("OPTIONS", "/v1/plan", None),
        ("DELETE", "/v1/plan", None),
        ("GET", "/v1/nowhere%2F%C3%A9?a=%ff", None),
    ],
)
def test_the_answer_is_the_same(addresses: dict[str, str], method: str, path: str, body: bytes | None) -> None:
    """Apart from what belongs to the connection, and from the time of the day."""
    media = "text/csv" if ".csv" in path else "application/json"
    headers = {"x-request-id": "same", **({"content-type": media} if body else {})}
    answers = {
        name: httpx.request(method, address + path, content=body, headers=headers, timeout=PATIENCE)
        for name, address in addresses.items()
    }
    own = answers.pop("own")
    connection = {"date", "connection", "transfer-encoding", "keep-alive"}
    for name, other in answers.items():
        assert other.status_code == own.status_code, name
        assert other.content == own.content, name
        kept = [{k: v for k, v in one.headers.items() if k not in connection} for one in (own, other)]
        # How long an answer is that comes in one piece at last, a server may say or not.
        if not all("content-length" in one for one in kept):
            kept = [{k: v for k, v in one.items() if k != "content-length"} for one in kept]
        assert kept[0] == kept[1], name
