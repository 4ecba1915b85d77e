"""Workers that are killed, one or all, under load: others answer meanwhile, and each is replaced."""

from __future__ import annotations

import json
import os
import signal
import threading
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from tests.patience import until

pytestmark = pytest.mark.faults

BODY = json.dumps({"area": "400 ft2", "species": "ipe", "coating": "clear-penetrating-oil"}).encode()
CLIENTS = 8

Show = Callable[[str], None]


def replaced(server: Any, *killed: int) -> list[int]:
    """Wait until there are two workers again and those killed are not among them; return who they are."""

    def two() -> list[int]:
        now: list[int] = server.workers()
        return now if len(now) == 2 and not set(now) & set(killed) else []

    return until(two, f"two workers without {killed}")


def test_a_killed_worker_is_replaced(server_of_two: Any, show: Show) -> None:
    server = server_of_two
    stop = threading.Event()
    found: Counter[int | str] = Counter()

    def client() -> None:
        while not stop.is_set():
            try:
                found[server.ask("POST", "/v1/calculate/coverage", BODY)] += 1
            except OSError as error:
                found[type(error).__name__] += 1
            except Exception as error:
                found[type(error).__name__] += 1

    clients = [threading.Thread(target=client) for _ in range(CLIENTS)]
    for one in clients:
        one.start()
    try:
        for _ in range(5):
            # One that dies young is replaced later; one that has lived is not.
            time.sleep(3)
            [victim, other] = server.workers()
            os.kill(victim, signal.SIGKILL)
            assert other in replaced(server, victim)
        before = found[200]
        until(lambda: found[200] > before, "the load goes on")
    finally:
        stop.set()
        for one in clients:
            one.join()
    asked = sum(found.values())
    lost = asked - found[200]
    show(f"five workers killed: of {asked} requests {lost} were lost: {dict(found)}")
    # What a worker has in hand when it is killed is lost; what waits to be taken in is another's.
    assert lost <= 5 * CLIENTS
    assert server.said().count("ended with signal 9 and is replaced") == 5


def test_when_all_are_killed_those_who_wait_are_answered(server_of_two: Any) -> None:
    server = server_of_two
    before = server.workers()
    for pid in before:
        os.kill(pid, signal.SIGKILL)
    assert server.ask("POST", "/v1/calculate/coverage", BODY) == 200
    replaced(server, *before)


def test_one_that_dies_again_and_again_is_not_replaced_in_haste(server_of_two: Any, show: Show) -> None:
    """In haste there would be one to kill at almost every look."""
    server = server_of_two
    looks, killed = 1200, 0
    for _ in range(looks):
        for pid in server.workers():
            os.kill(pid, signal.SIGKILL)
            killed += 1
        time.sleep(0.005)
    show(f"workers killed as soon as they live: {killed} at {looks} looks")
    assert killed < looks / 10
    until(lambda: len(server.workers()) == 2, "both are replaced in the end")
    assert server.ask() == 200


def test_workers_do_not_outlive_the_one_who_watches_them(start: Any) -> None:
    server = start("--workers", "2", "--notice", "0")
    workers = server.workers()
    assert len(workers) == 2
    os.kill(server.process.pid, signal.SIGKILL)
    until(lambda: not [pid for pid in workers if alive(pid)], "the workers are gone")


def alive(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] != "Z"
    except FileNotFoundError:
        return False


@pytest.fixture
def server_of_two(start: Any) -> Any:
    return start("--workers", "2")
