"""What every answer owes, on every path: HEAD, OPTIONS, request ids, cross-origin headers, entity tags."""

from __future__ import annotations

import gzip
from collections.abc import Callable

import httpx
import pytest

from latewood_api import compress

Send = Callable[..., httpx.Response]

READ = [
    "/",
    "/.well-known/security.txt",
    "/docs",
    "/docs/area",
    "/problems/not-found",
    "/openapi.json",
    "/v1/changelog",
    "/health/live",
    "/health/ready",
    "/v1/catalogue",
    "/v1/catalogue/species",
    "/v1/catalogue/species/ipe",
    "/v1/catalogue/calculators/area",
    "/v1/row/area?length=24+ft&width=16+ft",
    "/v1/cell/area/area?length=24+ft&width=16+ft",
]
SENT = ["/v1/calculate/area", "/v1/plan", "/v1/plan.txt", "/v1/plan.svg"]
EVERYWHERE = [
    *(("GET", path) for path in READ),
    *(("POST", path) for path in SENT),
    ("GET", "/nowhere"),
    ("GET", "/v1//catalogue"),
    ("DELETE", "/v1/catalogue"),
    ("OPTIONS", "/v1/catalogue"),
    ("OPTIONS", "/nowhere"),
    ("GET", "/v1/cell/area/nothing"),
]


@pytest.mark.parametrize("path", READ)
def test_head_is_get_without_the_body(send: Send, path: str) -> None:
    got, head = send("GET", path), send("HEAD", path)
    assert (got.status_code, head.status_code) == (200, 200)
    assert head.content == b""
    own = {"x-request-id"}
    assert {k: v for k, v in head.headers.items() if k not in own} == {
        k: v for k, v in got.headers.items() if k not in own
    }
    assert int(head.headers["content-length"]) == len(got.content) > 0


@pytest.mark.parametrize("path", READ)
def test_options_lists_the_methods(send: Send, path: str) -> None:
    response = send("OPTIONS", path)
    assert response.status_code == 204
    assert response.content == b""
    assert set(response.headers["allow"].split(", ")) == {"GET", "HEAD", "OPTIONS"}


@pytest.mark.parametrize("path", SENT)
def test_options_of_a_path_that_takes_a_body(send: Send, path: str) -> None:
    response = send("OPTIONS", path)
    assert response.status_code == 204
    assert set(response.headers["allow"].split(", ")) == {"POST", "OPTIONS"}
    assert response.headers["accept-post"] == "application/json"


@pytest.mark.parametrize("origin", ["null", "https://deck.example", "file://"])
def test_a_page_from_anywhere_may_ask_first(send: Send, origin: str) -> None:
    headers = {
        "origin": origin,
        "access-control-request-method": "POST",
        "access-control-request-headers": "content-type",
    }
    response = send("OPTIONS", "/v1/calculate/area", headers=headers)
    assert response.status_code == 204
    assert response.headers["access-control-allow-origin"] == "*"
    assert "POST" in response.headers["access-control-allow-methods"]
    assert "content-type" in response.headers["access-control-allow-headers"].lower()


@pytest.mark.parametrize(("method", "path"), EVERYWHERE)
def test_every_answer_carries_what_it_owes(send: Send, method: str, path: str) -> None:
    response = send(method, f"http://deck.example{path}", headers={"x-request-id": "job-41.a_B"})
    headers = response.headers
    assert headers["x-request-id"] == "job-41.a_B"
    assert headers["access-control-allow-origin"] == "*"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["vary"] == "Accept, Accept-Encoding, Accept-Language"
    assert '</openapi.json>; rel="service-desc"' in headers["link"]
    assert headers.get_list("x-request-id") == ["job-41.a_B"]
    assert headers.get_list("server") == ["latewood"]


@pytest.mark.parametrize("given", [None, "", "a b", "x" * 129, "-leading", "né", "a\tb", "<script>"])
def test_an_ill_formed_request_id_is_replaced(send: Send, given: str | None) -> None:
    headers = {} if given is None else {"x-request-id": given.encode()}
    first, second = (send("GET", "/health/live", headers=headers).headers["x-request-id"] for _ in range(2))
    assert first != second
    assert first.isalnum()
    assert len(first) == 32


@pytest.mark.parametrize("path", READ)
def test_an_entity_tag_saves_the_body(send: Send, path: str) -> None:
    got = send("GET", path)
    tag = got.headers["etag"]
    assert tag.startswith('"')
    assert got.headers["cache-control"]
    for condition in (tag, f"W/{tag}", f'"other", {tag}', "*", f'"a,b",W/{tag}'):
        for method in ("GET", "HEAD"):
            response = send(method, path, headers={"if-none-match": condition})
            assert response.status_code == 304, condition
            assert response.content == b""
            assert "content-type" not in response.headers
            for kept in ("etag", "cache-control", "vary"):
                assert response.headers[kept] == got.headers[kept]
    for condition in ('"other"', tag.strip('"'), 'W/"other"', ""):
        assert send("GET", path, headers={"if-none-match": condition}).status_code == 200


def test_tags_of_different_answers_differ(send: Send) -> None:
    tags = [send("GET", path).headers["etag"] for path in READ if path != "/"]
    assert len(set(tags)) == len(tags)


def test_the_same_request_gets_the_same_bytes(send: Send) -> None:
    for path in READ:
        assert send("GET", path).content == send("GET", path).content
    body = {"length": "24 ft", "width": "16 ft"}
    assert send("POST", SENT[0], json=body).content == send("POST", SENT[0], json=body).content


GZIP = {"accept-encoding": "gzip"}


@pytest.mark.parametrize("path", READ)
def test_who_takes_gzip_gets_the_same_in_fewer_bytes(send: Send, path: str) -> None:
    plain, packed = send("GET", path), send("GET", path, headers=GZIP)
    # The client unpacks what says that it is packed.
    assert packed.content == plain.content
    assert packed.headers["vary"] == plain.headers["vary"] == "Accept, Accept-Encoding, Accept-Language"
    if len(plain.content) < compress.LEAST:
        assert "content-encoding" not in packed.headers
        assert packed.headers["etag"] == plain.headers["etag"]
        return
    assert packed.headers["content-encoding"] == "gzip"
    assert int(packed.headers["content-length"]) < len(plain.content)
    head = send("HEAD", path, headers=GZIP)
    assert head.headers["content-length"] == packed.headers["content-length"]
    assert head.content == b""
    # Other bytes, another tag (RFC 9110, section 8.8.3); each saves the body it stands for.
    assert packed.headers["etag"] != plain.headers["etag"]
    for tag in (packed.headers["etag"], plain.headers["etag"]):
        again = send("GET", path, headers={**GZIP, "if-none-match": f'"other", {tag}'})
        assert again.status_code == 304
        assert again.headers["etag"] == tag


@pytest.mark.parametrize(
    ("asked", "packed"),
    [
        ("gzip", True),
        ("x-gzip", True),
        ("br, GZIP;q=0.5", True),
        ("*", True),
        ("*;q=0.1", True),
        ("gzip;q=0", False),
        ("gzip;q=0.000, *", False),
        ("*;q=0", False),
        ("br, zstd", False),
        ("identity", False),
        (";,q=;;gzip gzip", False),
    ],
)
def test_what_counts_as_taking_gzip(send: Send, asked: str, packed: bool) -> None:
    """RFC 9110, section 12.5.3."""
    response = send("HEAD", "/openapi.json", headers={"accept-encoding": asked})
    assert (response.headers.get("content-encoding") == "gzip") is packed


def test_long_refusals_are_packed_too_and_files_in_their_own_code_are_not(send: Send) -> None:
    body = {"length": "24 ft", "width": "16 ft", **{f"no{at}": at for at in range(50)}}
    refused = send("POST", "/v1/calculate/area", json=body, headers=GZIP)
    assert refused.status_code == 422
    assert refused.headers["content-encoding"] == "gzip"
    assert len(refused.json()["errors"]) == 50
    headers = [(b"content-type", b"image/png")]
    assert compress.compressed(200, headers, bytes(10_000)) == (headers, bytes(10_000))


def test_what_is_kept_packed_is_bounded() -> None:
    for at in range(50):
        text = b"".join(b"%x" % (at * 7919 + n * n * 104_729) for n in range(40_000))
        headers, packed = compress.compressed(200, [(b"content-type", b"text/plain"), (b"etag", b'"%d"' % at)], text)
        assert gzip.decompress(packed) == text
        assert (b"etag", b'"%d-gzip"' % at) in headers
    assert sum(map(len, compress._kept.values())) <= compress.KEPT_BYTES
    assert compress._kept
