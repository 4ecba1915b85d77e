"""Every error is an RFC 9457 document: type, title, status, instance, and every fault found."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import httpx
import pytest
from tests.patience import PATIENCE

import latewood
from latewood.catalogue import Catalogue
from latewood.messages import shipped
from latewood_api import body, query
from latewood_api.app import create_app
from latewood_api.codes import CODES
from latewood_api.problem import KINDS
from latewood_api.routes.health import Readiness

Send = Callable[..., httpx.Response]

AREA = "/v1/calculate/area"
GOOD = {"length": "24 ft", "width": "16 ft"}
#: RFC 9457 §3.2: extension names start with a letter and hold letters, digits and _ (erratum 6178).
EXTENSION = re.compile(r"[A-Za-z][A-Za-z0-9_]*")

FAULT = {"pointer", "code", "detail", "expected", "nearest", "id", "values", "language"}


def is_problem(response: httpx.Response, status: int, path: str) -> dict[str, Any]:
    assert response.status_code == status, response.text
    assert response.headers["content-type"] == "application/problem+json"
    assert response.headers["cache-control"] == "no-store"
    document = response.json()
    assert set(document) == {"type", "title", "status", "instance", "errors"}
    assert all(EXTENSION.fullmatch(name) for name in document)
    assert document["status"] == status
    assert document["instance"] == path
    kind = KINDS[document["type"].removeprefix("/problems/")]
    assert (kind.status, kind.title) == (status, document["title"])
    assert document["errors"]
    for fault in document["errors"]:
        assert {"pointer", "code", "detail"} <= set(fault) <= FAULT
    return document


def test_a_good_request_is_answered(send: Send) -> None:
    response = send("POST", AREA, json=GOOD)
    assert response.status_code == 200
    assert response.headers["content-type"] == "application/json"
    # 24 ft x 16 ft = 384 ft2; the international foot is 0.3048 m exactly.
    assert response.json()["result"]["area"]["value"] == pytest.approx(384 * 0.3048**2, rel=1e-8)


@pytest.mark.parametrize(
    ("content", "code"),
    [(b"{", "not-json"), (b"", "empty-body"), (b'{"length":"\xff"}', "bad-utf8"), (b'{"a":1,"a":2}', "duplicate-key")],
)
def test_400_for_a_body_that_cannot_be_read(send: Send, content: bytes, code: str) -> None:
    response = send("POST", AREA, content=content, headers={"content-type": "application/json"})
    assert is_problem(response, 400, AREA)["errors"][0]["code"] == code


def test_400_for_a_query_that_is_not_utf8(send: Send) -> None:
    response = send("GET", "/v1/row/area?length=%ff")
    assert is_problem(response, 400, "/v1/row/area")["errors"][0]["code"] == "bad-utf8"


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        ("/v1/calculate/aera", "area"),
        ("/v1/row/aera", "area"),
        ("/v1/catalogue/specie", "species"),
        ("/v1/catalogue/species/ippe", "ipe"),
        ("/docs/aera", "area"),
        ("/problems/not-fond", "not-found"),
        ("/v1/catalog", "/v1/catalogue"),
        ("/v1/catalogue/", "/v1/catalogue"),
        ("//v1/catalogue", "/v1/catalogue"),
        ("/openapi.jsn", "/openapi.json"),
    ],
)
def test_404_names_the_nearest(send: Send, path: str, nearest: str) -> None:
    method = "POST" if "calculate" in path else "GET"
    document = is_problem(send(method, f"http://deck.example{path}", json={} if method == "POST" else None), 404, path)
    assert document["errors"][0]["nearest"] == nearest


@pytest.mark.parametrize("path", ["/health%2flive", "/health%2Flive", "/v1/catalogue%2fspecies"])
def test_a_slash_in_code_is_no_slash(send: Send, path: str) -> None:
    """A proxy that lets some paths through and others not would read another one."""
    assert send("GET", f"http://deck.example{path}").status_code == 404


@pytest.mark.parametrize(
    ("method", "path", "allowed"),
    [
        ("GET", AREA, {"POST", "OPTIONS"}),
        ("HEAD", AREA, {"POST", "OPTIONS"}),
        ("DELETE", "/v1/row/area", {"GET", "HEAD", "OPTIONS"}),
        ("PUT", "/v1/catalogue/species", {"GET", "HEAD", "OPTIONS"}),
        ("TRACE", "/health/live", {"GET", "HEAD", "OPTIONS"}),
        ("PROPFIND", "/openapi.json", {"GET", "HEAD", "OPTIONS"}),
    ],
)
def test_405_lists_what_is_allowed(send: Send, method: str, path: str, allowed: set[str]) -> None:
    response = send(method, path)
    assert response.status_code == 405
    assert set(response.headers["allow"].split(", ")) == allowed
    if method != "HEAD":
        is_problem(response, 405, path)


@pytest.mark.parametrize(
    ("accept", "status"),
    [
        ("*/*", 200),
        ("application/*", 200),
        ("application/json;q=0.1", 200),
        ("text/html, application/json;q=0.9", 200),
        ("", 200),
        (";q=,,,text;q=abc", 200),
        ("\xff\xfe", 200),
        ("text/html", 406),
        ("application/json;q=0, */*", 406),
        ("*/*;q=0", 406),
        ("application/problem+json", 406),
    ],
)
def test_accept_is_honoured_and_junk_in_it_ignored(send: Send, accept: str, status: int) -> None:
    for method, path in (("POST", AREA), ("GET", "/v1/row/area?length=24+ft&width=16+ft"), ("GET", "/v1/catalogue")):
        more: dict[str, Any] = {"json": GOOD} if method == "POST" else {}
        response = send(method, path, headers={"accept": accept.encode("latin-1")}, **more)
        assert response.status_code == status, (method, path)
        if status == 406:
            document = is_problem(response, 406, path.partition("?")[0])
            assert document["errors"][0]["expected"] == "Accept: application/json"


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"content-type": "text/plain"},
        {"content-type": "application/x-www-form-urlencoded"},
        {"content-type": "application/vnd.deck+json"},
        {"content-type": "application/json; charset=latin-1"},
        {"content-type": "application/json; charset=utf-16"},
        {"content-type": b"\xff\xfe"},
        {"content-type": "application/json", "content-encoding": "gzip"},
        {"content-type": "application/json", "content-encoding": "identity"},
    ],
)
def test_415_names_the_type_that_is_read(send: Send, headers: dict[str, Any]) -> None:
    response = send("POST", AREA, content=b'{"length":"24 ft","width":"16 ft"}', headers=headers)
    is_problem(response, 415, AREA)
    assert response.headers["accept-post"] == "application/json"


@pytest.mark.parametrize(
    "declared", ["application/json", "Application/JSON;charset=UTF-8", 'application/json; charset="utf-8"']
)
def test_json_may_say_that_it_is_utf8(send: Send, declared: str) -> None:
    content = b'{"length":"24 ft","width":"16 ft"}'
    assert send("POST", AREA, content=content, headers={"content-type": declared}).status_code == 200


def test_413_for_a_body_over_the_limit_declared_or_not(send: Send) -> None:
    too_much = b" " * (body.MAX_BYTES + 1)
    declared = send("POST", AREA, content=too_much, headers={"content-type": "application/json"})

    async def pieces() -> Any:
        for _ in range(20):
            yield b" " * 65536

    chunked = send("POST", AREA, content=pieces(), headers={"content-type": "application/json"})
    for response in (declared, chunked):
        is_problem(response, 413, AREA)
    just = b" " * (body.MAX_BYTES - 40) + b'{"length":"24 ft","width":"16 ft"}'
    assert send("POST", AREA, content=just, headers={"content-type": "application/json"}).status_code == 200


def test_a_declared_length_far_too_long_is_refused_before_reading(send: Send) -> None:
    async def never() -> Any:
        raise AssertionError("the body was read")
        yield b""

    headers = {"content-type": "application/json", "content-length": "99999999999999999999999"}
    is_problem(send("POST", AREA, content=never(), headers=headers), 413, AREA)


def test_408_for_a_body_that_stalls(send: Send, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(body, "DEADLINE", 0.05)

    async def stalls() -> Any:
        yield b"{"
        await asyncio.sleep(PATIENCE)

    response = send("POST", AREA, content=stalls(), headers={"content-type": "application/json"})
    is_problem(response, 408, AREA)
    assert response.headers["connection"] == "close"


def test_a_caller_who_leaves_is_not_a_failure_of_ours(app: Any) -> None:
    sent: list[Any] = []

    async def receive() -> Any:
        return {"type": "http.disconnect"}

    async def send(message: Any) -> None:
        sent.append(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "POST",
        "path": AREA,
        "query_string": b"",
        "headers": [(b"content-type", b"application/json"), (b"content-length", b"500")],
    }
    asyncio.run(app(scope, receive, send))
    assert sent[0]["status"] == 400


def test_422_lists_every_fault_of_body_query_and_options(send: Send) -> None:
    response = send("POST", f"{AREA}?unit=us&units=uss&working=maybe", json={"length": 24, "widht": "16 ft"})
    errors = is_problem(response, 422, AREA)["errors"]
    by_place = {fault["pointer"]: fault for fault in errors}
    assert set(by_place) == {"/unit", "/units", "/working", "/length", "/widht"}
    assert by_place["/unit"]["nearest"] == "units"
    assert by_place["/units"]["nearest"] == "us"
    assert by_place["/widht"]["nearest"] == "width"
    # The message says what the field is, in words, and how to write it.
    assert "ft" in by_place["/length"]["expected"]


def test_422_of_a_query_has_the_same_pointers(send: Send) -> None:
    address = "/v1/row/area?length=24&widht=16+ft&units=uss&zones.0.id=A+B&zones.0.length=3+kg"
    errors = is_problem(send("GET", address), 422, "/v1/row/area")["errors"]
    assert {fault["pointer"] for fault in errors} == {"/length", "/widht", "/units", "/zones/0/id", "/zones/0/length"}


def test_a_name_given_twice_is_refused_and_a_cache_buster_is_not(send: Send) -> None:
    once = "/v1/row/area?length=24+ft&width=16+ft"
    assert send("GET", f"{once}&_=1&_=2").status_code == 200
    errors = is_problem(send("GET", f"{once}&width=17+ft"), 422, "/v1/row/area")["errors"]
    assert [(fault["pointer"], fault["code"]) for fault in errors] == [("/width", "repeated")]
    errors = is_problem(send("GET", f"{once}&units=us&units=us"), 422, "/v1/row/area")["errors"]
    assert [(fault["pointer"], fault["code"]) for fault in errors] == [("/units", "repeated")]


@pytest.mark.parametrize(
    "path",
    [
        *("/v1/catalogue", "/v1/catalogue/species", "/v1/catalogue/species/ipe", "/v1/changelog"),
        *("/health/live", "/health/ready", "/openapi.json", "/docs", "/docs/plan", "/docs/catalogue/species/ipe"),
    ],
)
def test_paths_without_fields_take_the_options_and_nothing_else(send: Send, path: str) -> None:
    assert send("GET", f"{path}?units=us&working=true&decimal=,&on_error=text&_=7").status_code == 200
    errors = is_problem(send("GET", f"{path}?limit=3"), 422, path)["errors"]
    assert [fault["pointer"] for fault in errors] == ["/limit"]


def test_no_answer_repeats_the_query(send: Send) -> None:
    for path in ("/nowhere", "/v1/row/nothing", "/v1/cell/area/nothing"):
        assert "secretish" not in send("GET", f"{path}?token=secretish").text


def test_500_says_nothing_of_its_cause_and_the_log_says_it(lw: Catalogue, caplog: pytest.LogCaptureFixture) -> None:
    class Broken(Catalogue):
        def items(self, kind: str) -> dict[str, Any]:
            raise RuntimeError("the secret cause")

    async def once() -> httpx.Response:
        transport = httpx.ASGITransport(create_app_with(Broken(lw.shelf)))
        async with httpx.AsyncClient(transport=transport, base_url="http://deck.example") as client:
            return await client.get("/v1/catalogue/species", headers={"x-request-id": "abc-1"})

    def create_app_with(broken: Catalogue) -> Any:
        return create_app(broken)

    response = asyncio.run(once())
    assert "secret" not in response.text
    assert "abc-1" in is_problem(response, 500, "/v1/catalogue/species")["errors"][0]["expected"]
    assert response.headers["x-request-id"] == "abc-1"
    assert "the secret cause" in caplog.text
    assert "abc-1" in caplog.text


def test_503_once_the_server_is_stopping(lw: Catalogue) -> None:
    readiness = Readiness()
    app = create_app(lw, readiness)

    async def both() -> tuple[httpx.Response, httpx.Response]:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://deck.example") as client:
            before = await client.get("/health/ready")
            readiness.stopping = True
            return before, await client.get("/health/ready")

    before, after = asyncio.run(both())
    assert before.status_code == 200
    is_problem(after, 503, "/health/ready")
    assert after.headers["retry-after"].isdigit()


@pytest.mark.parametrize("slug", sorted(KINDS))
def test_every_type_leads_to_a_page(send: Send, slug: str) -> None:
    response = send("GET", f"/problems/{slug}")
    assert response.status_code == 200
    assert KINDS[slug].title in response.text


def test_every_code_the_engine_gives_is_explained(send: Send) -> None:
    """Of every refusal declared that leads to the page of unusable input: bodies and names have pages of their own."""
    engine = Path(latewood.__file__).parent
    sources = [path.read_text("utf-8") for path in (*engine.rglob("*.py"), Path(query.__file__))]
    elsewhere = {id for source in sources for id in re.findall(r'malformed\(\s*"([a-z0-9-]+)"', source)}
    refusals = shipped().refusals
    assert elsewhere <= set(refusals)
    given = {one.code for id, one in refusals.items() if id not in elsewhere} - {"not-found"}
    assert len(given) > 15
    assert given - set(CODES) == set()
    page = send("GET", "/problems/unusable-input").text
    assert all(code in page for code in CODES)
