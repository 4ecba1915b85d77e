"""What the recipe holds beyond the bare server: it goes on where an instance stops or dies; it refuses in documents."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from tests.faults.load import ASKED, TABLE, Load
from tests.faults.proxied import DEPLOY, Recipe, unit
from tests.faults.rows import NOT_HELD
from tests.faults.vectors import BLOCK, GET, POST, statuses
from tests.faults.vectors import TABLE as ROWS
from tests.patience import until

from latewood_api.problem import KINDS

pytestmark = [pytest.mark.faults, pytest.mark.recipe]

Show = Callable[[str], None]
Raw = Callable[..., bytes]


def test_nothing_is_lost_by_rolling_stops(recipe: Recipe, show: Show) -> None:
    load = Load(recipe, [*ASKED, TABLE])
    with load.going():
        for turn in range(10):
            before = load.found[200]
            until(lambda before=before: load.found[200] > before + 50, "the load goes on")
            instance = recipe.instances[turn % 2]
            assert instance.stop() == 0
            instance.start()
            instance.wait()
    show(f"ten rolling stops under load: {dict(load.found)}")
    assert set(load.found) == {200}


def test_nothing_is_lost_by_a_kill(recipe: Recipe, show: Show) -> None:
    load = Load(recipe, ASKED)
    with load.going():
        for turn in range(2):
            before = load.found[200]
            until(lambda before=before: load.found[200] > before + 50, "the load goes on")
            instance = recipe.instances[turn % 2]
            assert instance.stop(signal.SIGKILL) == -signal.SIGKILL
            before = load.found[200]
            until(lambda before=before: load.found[200] > before + 50, "the other goes on alone")
            instance.start()
            instance.wait()
    show(f"each instance killed under load: {dict(load.found)}")
    assert set(load.found) == {200}


def test_the_script_restarts_one_after_the_other(tmp_path: Path) -> None:
    """It stops at the first that does not come back, with the other still serving."""
    log, path = tmp_path / "log", tmp_path / "systemctl"
    path.write_text(f'#!/bin/sh\necho "$@" >>{log}\n[ "$2" != latewood@8001 ] || exit "${{BROKEN:-0}}"\n')
    path.chmod(0o755)
    asked = []
    for broken, ports in (("0", []), ("1", []), ("0", ["9001", "9002", "9003"])):
        log.unlink(missing_ok=True)
        environment = os.environ | {"PATH": f"{tmp_path}:{os.environ['PATH']}", "BROKEN": broken}
        done = subprocess.run([DEPLOY / "rolling-restart", *ports], env=environment, capture_output=True, check=False)
        asked.append((done.returncode, re.findall(r"^restart latewood@(\d+)$", log.read_text(), re.MULTILINE)))
    assert asked == [(0, ["8001", "8002"]), (1, ["8001"]), (0, ["9001", "9002", "9003"])]


def test_a_start_ends_when_the_instance_answers(recipe: Recipe) -> None:
    """By this `systemctl restart` waits: the command of the unit, run as it stands."""
    [command] = unit("ExecStartPost")
    for instance in recipe.instances:
        subprocess.run(command.replace("%i", str(instance.port)).split(), check=True)


def document(answer: bytes, status: int) -> dict[str, Any]:
    """Return the problem document of a refusal."""
    head, _, body = answer.partition(b"\r\n\r\n")
    assert statuses(answer) == [status]
    assert b"\r\ncontent-type: application/problem+json\r\n" in head.lower()
    assert re.search(rb"\r\nx-request-id: [0-9a-f]{32}", head.lower())
    found: dict[str, Any] = json.loads(body)
    assert {*found} == {"type", "title", "status", "instance", "errors"}
    kind = KINDS[found["type"].removeprefix("/problems/")]
    assert (found["status"], found["title"]) == (status, kind.title) == (kind.status, kind.title)
    assert {"pointer", "code", "detail"} <= {*found["errors"][0]}
    return found


@pytest.mark.parametrize(
    ("sent", "status", "slug"),
    [
        (GET + b"Content-Length: x\r\n\r\n", 400, "/problems/malformed"),
        (GET + b"Transfer-Encoding: gzip\r\n\r\n", 400, "/problems/malformed"),
        (GET.replace(b"GET", b"TRACE") + b"\r\n", 405, "/problems/method-not-allowed"),
        (POST + b"Content-Length: 2000000\r\n\r\n" + BLOCK, 413, "/problems/too-large"),
        (GET + b"X-A: " + b"a" * 30_000 + b"\r\n\r\n", 431, "/problems/head-too-large"),
        (b"GET /" + b"a" * 30_000 + b" HTTP/1.1\r\nHost: deck.example\r\n\r\n", 431, "/problems/head-too-large"),
    ],
)
def test_what_it_refuses_itself_is_a_problem_document(
    recipe: Recipe, send_raw: Raw, sent: bytes, status: int, slug: str
) -> None:
    assert document(send_raw(recipe, sent, answers=1), status)["type"] == slug


def test_who_asks_too_often_is_told_when_to_ask_again(recipe: Recipe, send_raw: Raw) -> None:
    """One address, 400 requests in one go, where 200 may come at once and 50 more each second."""
    answer = send_raw(recipe, (GET + b"\r\n") * 400, answers=400)
    assert 200 <= statuses(answer).count(200) < 400
    refused = re.search(rb"HTTP/1\.1 429 .*?\r\n\r\n", answer, re.DOTALL)
    assert refused
    assert b"\r\nretry-after: 5\r\n" in refused[0].lower()


def test_without_an_instance_the_answer_is_503(recipe: Recipe, send_raw: Raw, show: Show) -> None:
    """And a table whose rows have begun to go out is cut: nobody can go on with it."""
    row = "a table whose instance is killed"
    assert row in NOT_HELD["recipe"]
    with recipe.connect() as client:
        client.sendall(ROWS + b"Content-Length: 500\r\n\r\nlength,width\r\n24 ft,16 ft\r\n")
        got = b""
        while b"24 ft" not in got:
            got += client.recv(65536)
        for instance in recipe.instances:
            assert instance.stop(signal.SIGKILL) == -signal.SIGKILL
        with suppress(OSError):
            while more := client.recv(65536):
                got += more
    show(f"not held by recipe: {row}: it ends without the last chunk")
    assert not got.endswith(b"\r\n0\r\n\r\n")
    answer = send_raw(recipe, GET + b"\r\n", answers=1)
    for instance in recipe.instances:
        instance.start()
    for instance in recipe.instances:
        instance.wait()
    assert document(answer, 503)["type"] == "/problems/not-ready"
    assert b"\r\nretry-after: 5\r\n" in answer.lower()


def test_plain_http_leads_to_the_same_place(recipe: Recipe) -> None:
    import http.client

    client = http.client.HTTPConnection("127.0.0.1", recipe.plain_port)
    client.request("GET", "/v1/catalogue?a=b", headers={"Host": "other.example"})
    response = client.getresponse()
    client.close()
    assert response.status == 308
    assert response.headers["Location"] == "https://deck.example/v1/catalogue?a=b"
