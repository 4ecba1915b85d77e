"""Clients in numbers: who ask all the time, and who only stay."""

from __future__ import annotations

import http.client
import itertools
import json
import socket
import threading
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, Final

from tests.faults.servers import BODY, Mistreated
from tests.faults.vectors import GET
from tests.patience import PAUSE

JSON: Final = "application/json"
#: What is asked in turn: calculated where it is read, by a worker, as a cell.
ASKED: Final = (
    ("POST", "/v1/calculate/coverage", JSON, json.dumps(BODY).encode()),
    ("POST", "/v1/calculate/area", JSON, b'{"length":"24 ft","width":"16 ft"}'),
    ("GET", "/v1/cell/area/area?length=24+ft&width=16+ft", JSON, None),
)
TABLE: Final = ("POST", "/v1/table/area.csv", "text/csv", b"length,width\r\n24 ft,16 ft\r\n")
#: What members of an idle crowd send: one is answered and rests, one does not go on, one says nothing.
IDLE: Final = (GET + b"\r\n", GET, b"")
#: Requests on one connection, by an address of its own.
KEPT: Final = 50


class Load:
    """Half of the clients ask each question on a connection of its own, half keep theirs for some."""

    def __init__(self, server: Mistreated, asked: Sequence[Any]) -> None:
        self._server = server
        self._asked = asked
        self._over = threading.Event()
        #: How many questions were answered, and what became of others.
        self.found: Counter[int | str] = Counter()

    def _client(self, kept: int) -> None:
        asked = itertools.cycle(self._asked)
        while not self._over.is_set():
            client = http.client.HTTPConnection("127.0.0.1", self._server.port)
            question = ("", "to connect")
            try:
                client.sock = self._server.connect()
                for question in itertools.islice(asked, kept):
                    status = self._ask(client, *question)
                    self.found[status if status == 200 else f"{question[1]}: {status}"] += 1
                    # A machine that does nothing but ask cannot start an instance.
                    if self._over.wait(PAUSE) or client.sock is None:
                        break
            except (OSError, http.client.HTTPException) as error:
                self.found[f"{question[1]}: {error!r}"] += 1
            finally:
                client.close()

    @staticmethod
    def _ask(client: http.client.HTTPConnection, method: str, path: str, media: str, body: bytes | None) -> int:
        headers = {"Host": "deck.example"} | ({"Content-Type": media} if body else {})
        client.request(method, path, body, headers)
        response = client.getresponse()
        response.read()
        return response.status

    @contextmanager
    def going(self, clients: int = 12) -> Iterator[None]:
        """Ask again and again meanwhile."""
        threads = [threading.Thread(target=self._client, args=[(1, KEPT)[at % 2]]) for at in range(clients)]
        for one in threads:
            one.start()
        try:
            yield
        finally:
            self._over.set()
            for one in threads:
                one.join()


@contextmanager
def crowd(server: Mistreated, number: int, sent: Callable[[int], bytes]) -> Iterator[list[socket.socket]]:
    """Connect, send what each is to send, and stay; close all in the end."""
    members: list[socket.socket] = []
    try:
        for at in range(number):
            data = sent(at)
            member = server.connect(hello=bool(data))
            members.append(member)
            if data:
                member.sendall(data)
        yield members
    finally:
        for member in members:
            member.close()
