"""Workers started anew instead of forked, as on Windows: the same service, with a limit on the clock only."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.api.served import CALCULATE, COVERAGE, Running, problem, started
from tests.killers import NAME, SHORT, killer
from tests.patience import PATIENCE, children, until

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="it looks at processes as Linux shows them")

AREA = {"length": "24 ft", "width": "16 ft"}


@pytest.fixture(scope="module")
def server() -> Iterator[Running]:
    with started("--budget", "1", LATEWOOD_START_METHOD="spawn") as found:
        yield found
        found.process.send_signal(signal.SIGTERM)
        assert found.process.wait(PATIENCE) == 0
        assert "Traceback" not in found.said(), found.said()


def workers(server: Running) -> list[int]:
    """Return the ids of the processes that were started anew."""
    return [pid for pid in children(server.process.pid) if b"spawn_main" in Path(f"/proc/{pid}/cmdline").read_bytes()]


def test_it_answers(server: Running) -> None:
    assert len(workers(server)) == 2
    assert server.ask("POST", "/v1/calculate/coverage", COVERAGE).status_code == 200
    assert server.ask("POST", "/v1/calculate/area", AREA).status_code == 200
    assert server.ask("POST", "/v1/table/area.csv", b"length,width\r\n24 ft,16 ft\r\n").status_code == 200


def test_the_system_limits_no_worker(server: Running) -> None:
    for pid in workers(server):
        limits = Path(f"/proc/{pid}/limits").read_text()
        for name in ("cpu time", "address space"):
            [line] = [line for line in limits.splitlines() if line.startswith(f"Max {name} ")]
            assert line.split()[3] == "unlimited"


def test_what_takes_too_long_is_ended_by_the_clock(server: Running) -> None:
    before = workers(server)
    whole, largest = problem(server.ask("POST", CALCULATE, killer()), "calculation-too-long")
    assert f"{NAME} of plugin guest takes more than 6 s and was ended" in whole["detail"]
    assert largest["pointer"] == "/outline"
    # The worker is replaced by another.
    assert server.ask("POST", CALCULATE, SHORT).status_code == 200
    assert set(workers(server)) - set(before)


def test_a_killed_worker_takes_no_request_with_it(server: Running) -> None:
    asked = server.later(killer())
    for pid in workers(server):
        os.kill(pid, signal.SIGKILL)
    assert server.ask("POST", "/v1/calculate/area", AREA).status_code == 200
    problem(asked.result(), "calculation-too-long")
    until(lambda: server.ask("POST", CALCULATE, SHORT).status_code == 200, "an answer")
