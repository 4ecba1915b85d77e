"""The server as a process: what it prints, how it refuses to start, how it stops, and raw bytes of every kind."""

from __future__ import annotations

import os
import re
import shlex
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import httpx
import pytest
from tests.patience import PATIENCE, free_port, serving, turned, until

from latewood_api import server

#: A server whose own limits of time do not end what a slow machine does slowly.
RUN = (
    f"import sys; from latewood_api import body, server; body.DEADLINE = {PATIENCE}; "
    f"sys.exit(server.serve(port=int(sys.argv[1]), within={PATIENCE}))"
)
BODY = b'{"length":"24 ft","width":"16 ft"}'
HEAD = b"POST /v1/calculate/area HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
CHUNK = b"10000\r\n" + b" " * 65536 + b"\r\n"
MANY = b"".join(b"X-%d: a\r\n" % i for i in range(5000))


@dataclass
class Running:
    process: subprocess.Popen[str]
    port: int
    greeting: list[str]


@contextmanager
def started() -> Iterator[Running]:
    """Run a server of its own on a free port; whatever happens, it is gone afterwards."""
    port = free_port()
    command = [sys.executable, "-c", RUN, str(port)]
    environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
    with serving(command, port, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, env=environment) as process:
        assert process.stdout is not None
        greeting: list[str] = []
        while len([line for line in greeting if "curl" in line]) < 3:
            line = process.stdout.readline()
            assert line, f"the server ended: {greeting}"
            greeting.append(line)
        yield Running(process, port, greeting)


@pytest.fixture(scope="module")
def running() -> Iterator[Running]:
    with started() as found:
        yield found
        found.process.send_signal(signal.SIGTERM)
        assert found.process.wait(PATIENCE) == 0


def exchange(port: int, *pieces: bytes, half_close: bool = False) -> bytes:
    """Send raw bytes and return the first response, or what came of it before the connection closed."""
    with socket.create_connection(("127.0.0.1", port), timeout=PATIENCE) as connection:
        for piece in pieces:
            try:
                connection.sendall(piece)
            except OSError:
                break
        if half_close:
            connection.shutdown(socket.SHUT_WR)
        answer = b""
        try:
            while True:
                head, _, rest = answer.partition(b"\r\n\r\n")
                length = re.search(rb"(?im)^content-length: *(\d+)", head)
                if rest and length and len(rest) >= int(length[1]):
                    return answer
                more = connection.recv(65536)
                if not more:
                    return answer
                answer += more
        except ConnectionError:
            return answer


def status(answer: bytes) -> int:
    match = re.match(rb"HTTP/1\.[01] (\d{3})", answer)
    assert match, answer[:200]
    return int(match[1])


def test_it_says_where_the_pages_are(running: Running) -> None:
    address = f"http://127.0.0.1:{running.port}/docs"
    assert any(address in line for line in running.greeting)
    assert httpx.get(address, timeout=PATIENCE).status_code == 200


def test_the_three_requests_it_prints_work(running: Running) -> None:
    commands = [shlex.split(line) for line in running.greeting if "curl" in line]
    assert len(commands) == 3
    for command in commands:
        assert command[:2] == ["curl", "-s"]
        address = next(word for word in command if word.startswith("http"))
        if "-d" in command:
            name, _, value = command[command.index("-H") + 1].partition(": ")
            content = command[command.index("-d") + 1]
            response = httpx.post(address, content=content, headers={name: value}, timeout=PATIENCE)
        else:
            response = httpx.get(address, timeout=PATIENCE)
        assert response.status_code == 200, response.text
    assert response.json()["calculator"] == "coverage"


def test_a_busy_port_is_said_before_anything_starts(running: Running, capsys: pytest.CaptureFixture[str]) -> None:
    assert server.serve(port=running.port) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert f"port {running.port} is already in use" in said.err
    assert "--port" in said.err


@pytest.mark.parametrize(
    ("host", "port"), [("127.0.0.1", 70000), ("127.0.0.1", -1), ("192.0.2.1", 8000), ("no such host", 8000)]
)
def test_an_impossible_address_is_said_with_the_remedy(
    host: str, port: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """192.0.2.1 is kept for documentation (RFC 5737), so no interface here has it."""
    assert server.serve(host, port) == 1
    said = capsys.readouterr().err
    assert "--port" in said
    assert len(said.splitlines()) == 1


@pytest.mark.parametrize(
    ("name", "sent", "allowed"),
    [
        ("a good one", HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY, {200}),
        ("in chunks", HEAD + b"Transfer-Encoding: chunked\r\n\r\n%x\r\n" % len(BODY) + BODY + b"\r\n0\r\n\r\n", {200}),
        ("not HTTP", b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + b"\0" * 50, {400}),
        ("no such version", b"GET / HTTP/9.9\r\nHost: x\r\n\r\n", {400}),
        ("length and chunks", HEAD + b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", {400}),
        ("two lengths", HEAD + b"Content-Length: 5\r\nContent-Length: 6\r\n\r\nabcdef", {400}),
        ("a negative length", HEAD + b"Content-Length: -1\r\n\r\n", {400}),
        ("a length with a sign", HEAD + b"Content-Length: +5\r\n\r\nabcde", {400}),
        ("a huge length", HEAD + b"Content-Length: 99999999999\r\n\r\n{", {413}),
        ("a bad chunk", HEAD + b"Transfer-Encoding: chunked\r\n\r\nZZ\r\nabc\r\n0\r\n\r\n", {400}),
        ("a huge chunk", HEAD + b"Transfer-Encoding: chunked\r\n\r\nFFFFFFFFFFFFFFFFF\r\nabc\r\n", {400}),
        ("too many chunks", HEAD + b"Transfer-Encoding: chunked\r\n\r\n" + CHUNK * 20 + b"0\r\n\r\n", {413}),
        ("a blank before the colon", b"GET /health/live HTTP/1.1\r\nHost : x\r\n\r\n", {400}),
        ("NUL in a header", b"GET /health/live HTTP/1.1\r\nHost: x\r\nX-A: a\0b\r\n\r\n", {400}),
        ("a Latin-1 header", b"GET /health/live HTTP/1.1\r\nHost: x\r\nAccept: \xff\xfe\r\n\r\n", {200}),
        ("a Latin-1 type", HEAD.replace(b"application/json", b"\xff\xfe") + b"Content-Length: 2\r\n\r\n{}", {415}),
        (
            "a megabyte of header",
            b"GET / HTTP/1.1\r\nHost: x\r\nX-A: " + b"a" * 1_000_000 + b"\r\n\r\n",
            {200, 400, 431},
        ),
        ("5000 headers", b"GET / HTTP/1.1\r\nHost: x\r\n" + MANY + b"\r\n", {200, 431}),
        ("a long address", b"GET /v1/row/area?a=" + b"1" * 70_000 + b" HTTP/1.1\r\nHost: x\r\n\r\n", {400, 414, 431}),
        ("a bad host", b"GET /health/live HTTP/1.1\r\nHost: a b\r\n\r\n", {400}),
        ("a bad escape", b"GET /v1/catalogue/%zz%ff HTTP/1.1\r\nHost: x\r\n\r\n", {404}),
        ("an encoded NUL", b"GET /v1/catalogue/%00 HTTP/1.1\r\nHost: x\r\n\r\n", {404}),
        ("OPTIONS of everything", b"OPTIONS * HTTP/1.1\r\nHost: x\r\n\r\n", {204, 400, 404}),
        ("an unknown method", b"A" * 100 + b" /health/live HTTP/1.1\r\nHost: x\r\n\r\n", {400, 405}),
    ],
)
def test_raw_bytes_are_answered_and_never_with_a_failure(
    running: Running, name: str, sent: bytes, allowed: set[int]
) -> None:
    answer = exchange(running.port, sent)
    assert status(answer) in allowed, answer[:400]
    assert httpx.get(f"http://127.0.0.1:{running.port}/health/live", timeout=PATIENCE).status_code == 200


def test_no_version_is_given_away(running: Running) -> None:
    response = httpx.get(f"http://127.0.0.1:{running.port}/health/live", timeout=PATIENCE)
    assert response.headers.get_list("server") == ["latewood"]


def test_a_body_that_is_cut_off_is_no_failure_of_the_server(running: Running) -> None:
    answer = exchange(running.port, HEAD + b"Content-Length: 500\r\n\r\n{", half_close=True)
    assert not answer or status(answer) == 400


def test_a_body_in_small_pieces_is_read(running: Running) -> None:
    pieces = [BODY[i : i + 4] for i in range(0, len(BODY), 4)]
    assert status(exchange(running.port, HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY), *pieces)) == 200


def test_silent_connections_do_not_keep_others_out(running: Running) -> None:
    """With a backlog of 128 a server of this kind stood still behind 1 100 idle sockets; 300 fit any file limit."""
    idle = [socket.create_connection(("127.0.0.1", running.port)) for _ in range(300)]
    try:
        assert httpx.get(f"http://127.0.0.1:{running.port}/health/live", timeout=PATIENCE).status_code == 200
    finally:
        for connection in idle:
            connection.close()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_in_order_and_answers_what_it_was_asked(number: int) -> None:
    with started() as found:
        with socket.create_connection(("127.0.0.1", found.port), timeout=PATIENCE) as connection:
            half = len(BODY) // 2
            connection.sendall(HEAD + b"Content-Length: %d\r\n\r\n" % len(BODY) + BODY[:half])
            found.process.send_signal(number)
            until(lambda: turned(found.port), "the stop begins")
            connection.sendall(BODY[half:])
            assert status(connection.recv(65536)) == 200
        assert found.process.wait(PATIENCE) == 0
