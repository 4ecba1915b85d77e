"""Tables over HTTP: manners, refusals before the first byte, errors that change no status, both ways at once."""

from __future__ import annotations

import asyncio
import csv
import io
import tempfile
from collections.abc import Callable, Sequence
from typing import Any

import httpx
import pytest
from litestar import Litestar
from tests.patience import PATIENCE

from latewood.catalogue import Catalogue
from latewood_api import errors
from latewood_api.dispatch.desk import Desk
from latewood_api.pages.layout import Site
from latewood_api.response_headers import ResponseHeaders
from latewood_api.routes import table
from latewood_api.spool import MEMORY, Gone, Spool

Send = Callable[..., httpx.Response]

PATH = "/v1/table/coverage.csv"
OIL = "clear-penetrating-oil"
HEADER = "note,area,species,coating"
GOOD = f"400 ft2,ipe,{OIL}"
CSV = {"content-type": "text/csv"}


def post(send: Send, body: str | bytes, query: str = "", **headers: str) -> httpx.Response:
    content = body.encode() if isinstance(body, str) else body
    return send("POST", f"{PATH}{query}", content=content, headers={**CSV, **headers})


def rows(response: httpx.Response, delimiter: str = ",") -> list[dict[str, str]]:
    assert response.status_code == 200, response.text
    return list(csv.DictReader(io.StringIO(response.text, newline=""), delimiter=delimiter, strict=True))


def test_rows_in_rows_out(send: Send) -> None:
    response = post(send, f"{HEADER}\na,{GOOD}\nb,20,ipe,{OIL}\n", "?outputs=volume,purchase.text&units=us")
    assert response.headers["content-type"] == "text/csv; charset=utf-8"
    assert response.headers["cache-control"] == "no-store"
    good, bad = rows(response)
    cell = send("GET", f"/v1/cell/coverage/volume.number?area=400+ft2&species=ipe&coating={OIL}&units=us").text
    assert (good["note"], good["volume [us_gal]"]) == ("a", cell)
    assert (bad["error_code"], bad["error_pointer"]) == ("unit-missing", "/area")


def test_a_rows_error_is_that_of_the_same_row_by_query(send: Send) -> None:
    fields = {"area": "20", "species": "mahogany", "coating": "paynt", "coats": "many"}
    [row] = rows(post(send, ",".join(fields) + "\n" + ",".join(fields.values()) + "\n"))
    faults = send("GET", "/v1/row/coverage", params=fields).json()["errors"]
    assert row["error_pointer"].split() == [fault["pointer"] for fault in faults]
    assert row["error_code"].split() == list(dict.fromkeys(fault["code"] for fault in faults))
    line = send("GET", "/v1/cell/coverage/volume", params=fields).text
    assert row["error"] == line.removeprefix("#ERROR ")


def test_the_choices_are_parameters(send: Send) -> None:
    body = f"Area;area;coating;species\n;ft2;;\nx;1,234;{OIL};ipe\n"
    query = "?decimal=,&delimiter=semicolon&unit_row=true&carry=Area&outputs=volume&_=4"
    _, row = rows(post(send, body, query), ";")
    assert row["Area"] == "x"
    assert row["volume [L]"].startswith("0,0")


def test_every_calculator_has_its_table(send: Send, lw: Catalogue) -> None:
    contract = send("GET", "/openapi.json").json()["paths"]
    for name in lw.calculators:
        operation = contract[f"/v1/table/{name}.csv"]["post"]
        [(media, content)] = operation["requestBody"]["content"].items()
        described = operation["responses"]["200"]["description"]
        address = f"/v1/table/{name}.csv?{described.partition('is asked with ')[2].removesuffix('.')}"
        assert "outputs=" in address
        response = send("POST", address, content=content["example"], headers={"content-type": media})
        [row] = rows(response)
        assert row["error"] == ""
        shown = operation["responses"]["200"]["content"]["text/csv"]["example"]
        [part] = csv.DictReader(io.StringIO(shown, newline=""))
        assert {key: row[key] for key in part} == part


class TestRefusals:
    @pytest.mark.parametrize(
        ("body", "query", "status", "code"),
        [
            ("", "", 422, "empty"),
            ("aera,coating\n", "", 422, "unknown-field"),
            (f"area,coating\nft2,{OIL}\n", "", 422, "ambiguous-unit-row"),
            (f"area;coating\n1.234 m2;{OIL}\n", "", 422, "ambiguous-decimal"),
            (f"{HEADER}\n", "?outputs=volum", 422, "unknown-output"),
            (f"{HEADER}\n", "?delimiter=pipe", 422, "unknown-choice"),
            (f"{HEADER}\n", "?area=4+m2", 422, "unknown-field"),
            (f"{HEADER}\n".encode("utf-16"), "", 400, "bad-utf8"),
            (f"{HEADER}\n".encode("utf-16-be"), "", 400, "bad-text"),
            (f"{HEADER}\n", "?carry=%ff", 400, "bad-utf8"),
        ],
    )
    def test_before_the_first_byte_it_is_a_problem(
        self, send: Send, body: str | bytes, query: str, status: int, code: str
    ) -> None:
        response = post(send, body, query)
        assert response.status_code == status, response.text
        assert response.headers["content-type"] == "application/problem+json"
        assert [fault["code"] for fault in response.json()["errors"]] == [code]
        assert response.json()["instance"] == PATH

    @pytest.mark.parametrize("declared", ["application/json", "text/plain", "", "text/csv; charset=latin-1"])
    def test_another_type(self, send: Send, declared: str) -> None:
        response = post(send, f"{HEADER}\n", **{"content-type": declared})
        assert response.status_code == 415
        assert response.headers["accept-post"] == "text/csv"

    @pytest.mark.parametrize("declared", ["text/csv; charset=utf-8", 'TEXT/CSV; charset="UTF-8"; header=present'])
    def test_the_right_type_in_other_words(self, send: Send, declared: str) -> None:
        assert post(send, f"{HEADER}\n", **{"content-type": declared}).status_code == 200

    def test_a_compressed_table(self, send: Send) -> None:
        assert post(send, b"\x1f\x8b", **{"content-encoding": "gzip"}).status_code == 415

    def test_an_answer_that_is_not_wanted(self, send: Send) -> None:
        assert post(send, f"{HEADER}\n", accept="application/json").status_code == 406
        assert post(send, f"{HEADER}\n", accept="text/*").status_code == 200

    @pytest.mark.parametrize("method", ["GET", "HEAD", "PUT", "DELETE", "PATCH", "BREW"])
    def test_another_method(self, send: Send, method: str) -> None:
        response = send(method, PATH)
        assert response.status_code == 405
        assert set(response.headers["allow"].split(", ")) == {"POST", "OPTIONS"}
        assert (response.content == b"") is (method == "HEAD")

    def test_options(self, send: Send) -> None:
        response = send("OPTIONS", PATH, headers={"origin": "null", "access-control-request-method": "POST"})
        assert response.status_code == 204
        assert response.headers.get_list("accept-post") == ["text/csv"]
        assert set(response.headers["allow"].split(", ")) == {"POST", "OPTIONS"}
        assert response.headers["access-control-allow-origin"] == "*"

    @pytest.mark.parametrize("path", ["/v1/table/aera.csv", "/v1/table/area.xlsx", "/v1/table/area", "/v1/table"])
    def test_a_table_there_is_not(self, send: Send, path: str) -> None:
        response = send("POST", path, content="x", headers=CSV)
        assert response.status_code == 404
        assert response.headers["content-type"] == "application/problem+json"

    def test_the_nearest_is_named(self, send: Send) -> None:
        response = send("POST", "/v1/table/aera.csv", content="x", headers=CSV)
        assert response.json()["errors"][0]["nearest"] == "/v1/table/area.csv"


class Client:
    """Speaks ASGI to the route, message by message."""

    def __init__(self, lw: Catalogue, **limits: Any) -> None:
        desk = Desk(lw)
        app = Litestar(
            table.handlers(lw, desk, **limits),
            exception_handlers=errors.handlers([], desk.failures),
            openapi_config=None,
            logging_config=None,
        )
        self.app = ResponseHeaders(app, [PATH], Site(lw))
        self.sent: list[Any] = []
        self.news = asyncio.Event()
        self.incoming: asyncio.Queue[Any] = asyncio.Queue()

    def feed(self, body: str | bytes, *, more: bool = True) -> None:
        content = body.encode() if isinstance(body, str) else body
        self.incoming.put_nowait({"type": "http.request", "body": content, "more_body": more})

    def leave(self) -> None:
        self.incoming.put_nowait({"type": "http.disconnect"})

    async def send(self, message: Any) -> None:
        self.sent.append(message)
        self.news.set()

    async def run(self, query: bytes = b"", headers: Sequence[tuple[bytes, bytes]] = ()) -> None:
        scope = {
            "type": "http",
            "method": "POST",
            "path": PATH,
            "raw_path": PATH.encode(),
            "query_string": query,
            "headers": [(b"content-type", b"text/csv"), *headers],
            "root_path": "",
            "scheme": "http",
            "client": ("127.0.0.1", 1),
            "server": ("127.0.0.1", 2),
            "http_version": "1.1",
        }
        await self.app(scope, self.incoming.get, self.send)  # type: ignore[arg-type]  # as a server calls it

    @property
    def status(self) -> int:
        return int(self.sent[0]["status"])

    @property
    def body(self) -> str:
        return b"".join(m.get("body", b"") for m in self.sent if m["type"] == "http.response.body").decode()

    async def until(self, text: str) -> None:
        async with asyncio.timeout(PATIENCE):
            while text not in self.body:
                self.news.clear()
                await self.news.wait()


class TestBothWays:
    def test_rows_are_answered_while_the_table_is_sent(self, lw: Catalogue) -> None:
        async def talk() -> None:
            client = Client(lw)
            running = asyncio.create_task(client.run(b"outputs=volume"))
            client.feed(f"{HEADER}\nfirst,{GOOD}\n")
            await client.until("first,")
            client.feed("second,400 ft2,")
            client.feed(f"ipe,{OIL}\nthird")
            await client.until("second,")
            assert "third" not in client.body
            client.feed(f",{GOOD}", more=False)
            await running
            assert client.body.count("\r\n") == 4
            assert client.sent[-1]["more_body"] is False
            assert {m["type"] for m in client.sent[1:]} == {"http.response.body"}

        asyncio.run(talk())

    def test_a_body_is_taken_in_before_its_rows_are_answered(self, lw: Catalogue) -> None:
        """A client that sends everything before it reads anything must not wait for ever."""

        async def talk() -> None:
            client = Client(lw)
            never = asyncio.Event()
            held = client.send

            async def send(message: Any) -> None:
                await held(message)
                if message["type"] == "http.response.body":
                    await never.wait()

            client.send = send  # type: ignore[method-assign]  # a client that reads nothing
            client.feed(f"{HEADER}\n")
            for _ in range(40):
                client.feed(f"a,{GOOD}\n" * 1000)
            running = asyncio.create_task(client.run(b"outputs=volume"))
            await client.until("volume")
            async with asyncio.timeout(PATIENCE):
                while not client.incoming.empty():
                    await asyncio.sleep(0.01)
            client.leave()
            running.cancel()

        asyncio.run(talk())

    def test_others_get_their_turn(self, lw: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
        """However short the time for which rows are worked at, after each of them, so that no machine is too fast."""
        monkeypatch.setattr(Desk, "turn", 0.0)

        async def talk() -> tuple[int, int]:
            client = Client(lw)
            client.feed(f"{HEADER}\n" + f"a,{GOOD}\n" * 400, more=False)
            running = asyncio.create_task(client.run(b"outputs=volume"))
            turns = 0
            while not running.done():
                await asyncio.sleep(0)
                turns += 1
            return turns, client.body.count("\r\n")

        turns, lines = asyncio.run(talk())
        assert lines == 401
        assert turns >= 400

    @pytest.mark.parametrize("started", [True, False])
    def test_a_client_that_leaves_is_no_failure(self, lw: Catalogue, started: bool) -> None:
        async def talk() -> list[Any]:
            client = Client(lw)
            client.feed(f"{HEADER}\n" + (f"a,{GOOD}\n" if started else ""))
            client.leave()
            async with asyncio.timeout(PATIENCE):
                await client.run()
            return client.sent

        assert [m for m in asyncio.run(talk()) if m.get("status", 200) != 200] == []

    def test_a_client_that_leaves_ends_the_work(self, lw: Catalogue) -> None:
        async def talk() -> int:
            client = Client(lw)
            client.feed(f"{HEADER}\n" + f"a,{GOOD}\n" * 20_000, more=False)
            running = asyncio.create_task(client.run(b"outputs=volume"))
            await client.until("a,400")
            client.leave()
            async with asyncio.timeout(PATIENCE):
                await running
            return client.body.count("\r\n")

        assert 0 < asyncio.run(talk()) < 10_000


class TestLimits:
    def test_a_length_that_is_too_large_is_refused_unread(self, lw: Catalogue) -> None:
        client = Client(lw)
        asyncio.run(client.run(headers=[(b"content-length", b"200000001")]))
        assert client.status == 413

    def test_a_header_that_never_ends(self, lw: Catalogue) -> None:
        client = Client(lw, limit=1000)
        client.feed("area," * 201)
        asyncio.run(client.run())
        assert client.status == 413

    def test_a_table_that_goes_on_too_long_says_so_in_its_last_row(self, lw: Catalogue) -> None:
        client = Client(lw, limit=1000)
        client.feed(f"{HEADER}\n" + f"a,{GOOD}\n" * 5)
        client.feed(f"a,{GOOD}\n" * 50)
        asyncio.run(client.run(b"outputs=volume"))
        assert client.status == 200
        *good, last = list(csv.DictReader(io.StringIO(client.body, newline="")))
        assert [row["error"] for row in good] == [""] * 5
        assert last["error_code"] == "too-large"
        assert client.sent[-1]["more_body"] is False

    @pytest.mark.parametrize(("body", "status"), [("area,", 408), (f"{HEADER}\na,{GOOD}\n", 200)])
    def test_a_table_that_stops_coming(self, lw: Catalogue, body: str, status: int) -> None:
        client = Client(lw, stall=0.2)
        client.feed(body)
        asyncio.run(client.run(b"outputs=volume"))
        assert client.status == status
        assert ("too-slow" in client.body) is True

    def test_a_client_that_stops_reading(self, lw: Catalogue) -> None:
        client = Client(lw, stall=0.2)

        async def send(message: Any) -> None:
            client.sent.append(message)
            if message["type"] == "http.response.body":
                await asyncio.Event().wait()

        client.send = send  # type: ignore[method-assign]  # a client that reads nothing
        client.feed(f"{HEADER}\na,{GOOD}\n", more=False)
        asyncio.run(asyncio.wait_for(client.run(), PATIENCE))
        assert client.sent[-1]["type"] == "http.response.body"


class TestSpool:
    def test_a_long_body_goes_to_disk_and_comes_back_whole(self) -> None:
        async def through() -> tuple[bytes, bool]:
            queue: asyncio.Queue[Any] = asyncio.Queue()
            body = bytes(range(256)) * (MEMORY // 100)
            for at in range(0, len(body), 100_000):
                more = at + 100_000 < len(body)
                queue.put_nowait({"type": "http.request", "body": body[at : at + 100_000], "more_body": more})
            spool = Spool(queue.get, limit=len(body), stall=5)
            filling = asyncio.create_task(spool.fill())
            got = b"".join([piece async for piece in spool.pieces()])
            assert isinstance(spool._file, tempfile.SpooledTemporaryFile)
            on_disk = bool(spool._file._rolled)
            filling.cancel()
            spool.close()
            return got, on_disk and got == body

        got, whole = asyncio.run(through())
        assert len(got) > 2 * MEMORY
        assert whole

    def test_who_left_is_not_waited_for(self) -> None:
        async def through() -> None:
            queue: asyncio.Queue[Any] = asyncio.Queue()
            queue.put_nowait({"type": "http.disconnect"})
            spool = Spool(queue.get, limit=10, stall=5)
            filling = asyncio.create_task(spool.fill())
            with pytest.raises(Gone):
                async for _ in spool.pieces():
                    pass
            await filling
            spool.close()

        asyncio.run(through())
