"""Clients that reset the connection at any stage: of a thousand at each, none leaves a socket behind."""

from __future__ import annotations

import json
import socket
import struct
from collections.abc import Callable
from typing import Any, Final

import pytest
from tests.faults.servers import BODY
from tests.faults.vectors import GET, TABLE
from tests.patience import until

pytestmark = pytest.mark.faults

CLIENTS: Final = 1000
COVERAGE: Final = json.dumps(BODY).encode()
POST: Final = b"POST /v1/calculate/coverage HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
WHOLE: Final = POST + b"Content-Length: %d\r\n\r\n" % len(COVERAGE) + COVERAGE
CONTRACT: Final = b"GET /openapi.json HTTP/1.1\r\nHost: deck.example\r\n\r\n"
ROWS: Final = TABLE + b"Content-Length: 900\r\n\r\nlength,width\r\n24 ft,16 ft\r\n"

#: Stage → what is sent, and whether the client waits for some of the answer before it resets.
STAGES: Final[dict[str, tuple[bytes, bool]]] = {
    "connected": (b"", False),
    "half a head": (GET, False),
    "half a body": (POST + b"Content-Length: 500\r\n\r\n{", False),
    "before the answer": (WHOLE, False),
    "within a long answer": (CONTRACT, True),
    "between answer and close": (WHOLE.replace(b"Host:", b"Connection: close\r\nHost:"), True),
    "at rest": (WHOLE, True),
    "within a table": (ROWS, False),
}


def test_no_socket_is_left(server: Any, show: Callable[[str], None]) -> None:
    server.good(20)
    before = until(lambda: server.connections() == 0 and server.sockets(), "rest")
    for sent, waits in STAGES.values():
        for _ in range(CLIENTS):
            with server.connect(hello=bool(sent)) as client:
                client.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
                if sent:
                    client.sendall(sent)
                if waits:
                    assert client.recv(200).startswith(b"HTTP/1.1 200 ")
    server.good(20)
    until(lambda: server.connections() == 0, "all connections are gone")
    # Those that a proxy keeps to the instances go a little later.
    left = until(lambda: (now := server.sockets()) <= before and now, f"at most {before} sockets")
    show(f"{server.name}: {CLIENTS} resets at each of {len(STAGES)} stages: {before} → {left} sockets")
    assert "Traceback" not in server.said()
