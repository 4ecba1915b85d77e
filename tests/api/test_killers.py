"""Requests that would take minutes, against a running server: they are ended, and others notice nothing."""

from __future__ import annotations

import os
import re
import signal
import socket
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.api.served import CALCULATE, COVERAGE, Running, problem, started
from tests.killers import NAME, SHORT, killer
from tests.patience import PATIENCE, alive, family, turned, until

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the budget is one of processor time on POSIX only")


@pytest.fixture(scope="module")
def server() -> Iterator[Running]:
    with started("--budget", "2") as found:
        yield found
        found.process.send_signal(signal.SIGTERM)
        assert found.process.wait(PATIENCE) == 0
        assert "Traceback" not in found.said(), found.said()


def test_others_are_answered_while_two_killers_run(server: Running) -> None:
    killers = [server.later(killer()) for _ in range(2)]
    # Its own worker is taken; what is declared short has another, and what waits for nothing needs none.
    paths = [
        ("POST", "/v1/calculate/coverage", COVERAGE),
        ("GET", "/health/live", None),
        ("GET", "/health/ready", None),
    ]
    paths += [("GET", "/docs", None), ("GET", "/v1/catalogue/species", None), ("GET", "/openapi.json", None)]
    assert [server.ask(*path).status_code for path in paths] == [200] * len(paths)
    # Of faces there are too many to be answered in the server's own process.
    faces = [{"zone": f"z{at}", "part": "field", "area": "20 m2"} for at in range(10)]
    many = {"species": "ipe", "coating": "clear-penetrating-oil", "faces": faces}
    assert server.ask("POST", "/v1/calculate/coverage", many).status_code == 200
    assert not all(one.done() for one in killers)
    for one in killers:
        whole, largest = problem(one.result(), "calculation-too-long")
        assert f"{NAME} of plugin guest takes more than 2 s of processor time" in whole["detail"]
        assert largest["pointer"] == "/outline"
        assert re.fullmatch(r"this part has \d{4} characters", largest["detail"])
    # The worker is replaced.
    assert server.ask("POST", CALCULATE, SHORT).status_code == 200


def test_a_full_queue_is_said_at_once(server: Running) -> None:
    # One runs and two wait. Of so many some come before those are done, however late a machine sends them.
    asked = [server.later(killer()) for _ in range(16)]
    found = [one.result() for one in asked]
    busy = [one for one in found if one.json()["type"] == "/problems/busy"]
    assert busy
    for one in busy:
        problem(one, "busy")
        assert one.headers["retry-after"] == "2"
    assert {one.json()["type"] for one in found} == {"/problems/busy", "/problems/calculation-too-long"}
    assert server.ask("POST", CALCULATE, SHORT).status_code == 200


def test_a_row_that_is_too_much_is_one_row(server: Running) -> None:
    lines = ["outline,rounds", "0 0,1", "0 0,0", "0 0,2"]
    answer = server.ask("POST", f"/v1/table/{NAME}.csv", "\r\n".join(lines).encode() + b"\r\n")
    assert answer.status_code == 200
    _, first, second, third = answer.text.splitlines()
    assert "calculation-too-long" not in first + third
    assert f"this row of {NAME} takes too much processor time or memory" in second


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="it looks for processes there")
def test_nothing_outlives_a_server_that_is_killed() -> None:
    with started() as server:
        assert server.ask("POST", CALCULATE, SHORT).status_code == 200
        others = set(family(server.process.pid)) - {server.process.pid}
        # The process that workers are forked from, and two workers at least.
        assert len(others) >= 3
        server.process.kill()
        until(lambda: not any(alive(pid) for pid in others), "the end of its workers")
        # Nor did one of them hold its door open.
        with socket.socket() as other:
            other.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            other.bind(("127.0.0.1", server.port))


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="it looks for processes there")
def test_workers_are_had_again_when_the_process_they_are_forked_from_is_killed() -> None:
    with started("--budget", "1") as server:
        assert server.ask("POST", CALCULATE, SHORT).status_code == 200
        forks = next(pid for pid in family(server.process.pid)[1:] if len(family(pid)) > 1)
        os.kill(forks, signal.SIGKILL)
        # Its worker is ended, and the next one needs another process to be forked from.
        problem(server.ask("POST", CALCULATE, killer()), "calculation-too-long")
        assert server.ask("POST", CALCULATE, SHORT).status_code == 200
        server.process.send_signal(signal.SIGTERM)
        assert server.process.wait(PATIENCE) == 0


def test_a_model_without_end_does_not_run_where_requests_are_read(server: Running) -> None:
    oil = {"area": "10 m2", "coating": "guest-oil", "species": "ipe"}
    assert server.ask("POST", "/v1/calculate/coverage", {**oil, "surface": "sanded"}).status_code == 200
    rough = {**oil, "surface": "rough-sawn"}
    endless = [server.threads.submit(server.ask, "POST", "/v1/calculate/coverage", rough) for _ in range(2)]
    assert server.ask("GET", "/health/live").status_code == 200
    assert server.ask("POST", "/v1/calculate/coverage", COVERAGE).status_code == 200
    for one in endless:
        whole, *_ = problem(one.result(), "calculation-too-long")
        assert "coverage takes more than 2 s of processor time" in whole["detail"]


def test_the_stop_comes_in_time_under_killers() -> None:
    with started("--budget", "5", "--notice", "0", "--within", "8") as server:
        killers = [server.later(killer()) for _ in range(3)]
        until(lambda: any(one.running() for one in killers), "the killers")
        server.process.send_signal(signal.SIGTERM)
        until(lambda: server.process.poll() is not None or turned(server.port), "the stop begins")
        assert server.process.wait(PATIENCE) == 0
        # Each was answered: ended for its length, or sent elsewhere.
        kinds = {one.result().json()["type"] for one in killers if one.exception() is None}
        assert kinds <= {"/problems/calculation-too-long", "/problems/not-ready"}


def test_others_may_reach_it_only_with_a_word_about_the_recipe() -> None:
    with started("--host", "0.0.0.0", "--notice", "0") as server:
        assert "examples/deploy" in server.said()
    with started("--notice", "0") as server:
        assert "examples/deploy" not in server.said()
