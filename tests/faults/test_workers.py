"""Workers that are killed under load: what they had in hand is done by others, and each is replaced."""

from __future__ import annotations

import json
import os
import signal
import threading
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from tests.patience import alive, until

pytestmark = pytest.mark.faults

#: Calculated by a worker: it may take longer than what runs in place.
BODY = json.dumps({"length": "24 ft", "width": "16 ft"}).encode()
CLIENTS = 8

Show = Callable[[str], None]


def kill(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


def test_no_request_is_lost_by_a_killed_worker(server_of_two: Any, show: Show) -> None:
    server = server_of_two
    stop = threading.Event()
    found: Counter[int | str] = Counter()
    answered = [0] * CLIENTS

    def client(place: int) -> None:
        while not stop.is_set():
            try:
                found[server.ask("POST", "/v1/calculate/area", BODY)] += 1
            except Exception as error:
                found[type(error).__name__] += 1
            answered[place] += 1

    clients = [threading.Thread(target=client, args=[place]) for place in range(CLIENTS)]
    for one in clients:
        one.start()
    try:
        for _ in range(5):
            # Each client has asked anew since the last kill: none is hit twice, which is what a request that ends its
            # worker looks like.
            before = [*answered]
            until(lambda before=before: all(now > was + 1 for now, was in zip(answered, before, strict=True)), "load")
            for victim in server.workers():
                kill(victim)
    finally:
        stop.set()
        for one in clients:
            one.join()
    show(f"every worker killed five times: {dict(found)}")
    assert set(found) == {200}


def test_workers_killed_while_they_rest_are_replaced(server_of_two: Any) -> None:
    server = server_of_two
    before = server.workers()
    for pid in before:
        kill(pid)
    assert server.ask("POST", "/v1/calculate/area", BODY) == 200
    assert server.ask() == 200


def test_the_process_they_are_forked_from_is_replaced_too(server_of_two: Any) -> None:
    server = server_of_two
    for pid in server.children():
        kill(pid)
    assert server.ask("POST", "/v1/calculate/area", BODY) == 200


def test_nothing_outlives_the_server(start: Any) -> None:
    server = start("--workers", "2", "--notice", "0")
    processes = server.children()
    assert len(server.workers()) == 2
    kill(server.process.pid)
    until(lambda: not [pid for pid in processes if alive(pid)], "they are gone")


@pytest.fixture
def server_of_two(start: Any) -> Any:
    return start("--workers", "2")
