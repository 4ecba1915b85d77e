"""Bodies that broke other services: each is refused with a reason, and none makes the server fail.

What is refused follows RFC 8259: its grammar, UTF-8 only (section 8.1), and the names, numbers and characters it
warns are read differently by different programs (sections 4, 6, 8.2).
"""

from __future__ import annotations

import asyncio
import gzip
import json
from collections.abc import Callable
from typing import Any, ClassVar

import httpx
import pytest

from latewood.problems import Malformed
from latewood.wire import strict_json
from latewood_api import body

Send = Callable[..., httpx.Response]

GOOD = {"length": "24 ft", "width": "16 ft"}
JSON = {"content-type": "application/json"}


def having(**more: Any) -> bytes:
    return json.dumps({**GOOD, **more}).encode()


#: name → body, headers, status, and the code of the first fault.
BODIES: dict[str, tuple[bytes, dict[str, str], int, str]] = {
    "not UTF-8": (b'{"length":"\xff"}', JSON, 400, "bad-utf8"),
    "lone surrogate": (b'{"length":"\\ud800"}', JSON, 400, "lone-surrogate"),
    "lone low surrogate in a name": (b'{"\\udfff":1}', JSON, 400, "lone-surrogate"),
    "NUL in text": (having(length="24\x00ft"), JSON, 422, ""),
    "raw control character": (b'{"length":"24\x01ft"}', JSON, 400, "not-json"),
    "NaN": (b'{"length":NaN}', JSON, 400, "not-finite"),
    "Infinity": (b'{"length":-Infinity}', JSON, 400, "not-finite"),
    "1e999": (b'{"length":1e999}', JSON, 400, "not-finite"),
    "5000 digits": (b'{"length":' + b"9" * 5000 + b"}", JSON, 400, "too-many-digits"),
    "5000 negative digits": (b'{"length":-' + b"9" * 5000 + b"}", JSON, 400, "too-many-digits"),
    "many decimals": (b'{"length":0.' + b"3" * 900_000 + b"}", JSON, 422, ""),
    "key twice": (b'{"length":1,"length":2}', JSON, 400, "duplicate-key"),
    "key twice, inside": (b'{"zones":[{"id":"a","id":"b"}]}', JSON, 400, "duplicate-key"),
    "key twice, once escaped": (b'{"id":1,"\\u0069d":2}', JSON, 400, "duplicate-key"),
    "deep lists": (b"[" * 100_000, JSON, 400, "too-deep"),
    "deep objects": (b'{"a":' * 50_000, JSON, 400, "too-deep"),
    "closed deep lists": (b"[" * 40 + b"]" * 40, JSON, 400, "too-deep"),
    "brackets in text": (having(length="[" * 60), JSON, 422, ""),
    "unfinished text": (b'{"a":"' + b"[" * 100_000, JSON, 400, "not-json"),
    "empty": (b"", JSON, 400, "empty-body"),
    "blanks": (b" \r\n\t", JSON, 400, "empty-body"),
    "null": (b"null", JSON, 422, ""),
    "a list": (b"[]", JSON, 422, ""),
    "a text": (b'"24 ft"', JSON, 422, ""),
    "a number": (b"24", JSON, 422, ""),
    "two documents": (b"{} {}", JSON, 400, "not-json"),
    "single quotes": (b"{'length':1}", JSON, 400, "not-json"),
    "trailing comma": (b'{"length":1,}', JSON, 400, "not-json"),
    "comment": (b'{"length":1 /* ft */}', JSON, 400, "not-json"),
    "leading zero": (b'{"length":024}', JSON, 400, "not-json"),
    "hexadecimal": (b'{"length":0x18}', JSON, 400, "not-json"),
    "UTF-16": (json.dumps(GOOD).encode("utf-16"), JSON, 400, "bad-utf8"),
    "UTF-32": (json.dumps(GOOD).encode("utf-32-le"), JSON, 400, "not-json"),
    "text/plain": (having(), {"content-type": "text/plain"}, 415, ""),
    "no type": (having(), {}, 415, ""),
    "a form": (b"length=24+ft", {"content-type": "application/x-www-form-urlencoded"}, 415, ""),
    "multipart without boundary": (b"x", {"content-type": "multipart/form-data"}, 415, ""),
    "messagepack": (b"\x80", {"content-type": "application/msgpack"}, 415, ""),
    "gzip": (gzip.compress(having()), {**JSON, "content-encoding": "gzip"}, 415, ""),
    "2 MB": (b" " * 2_000_000 + having(), JSON, 413, ""),
    "80 000 unknown fields": (b"{" + b",".join(b'"k%d":1' % i for i in range(80_000)) + b"}", JSON, 422, ""),
    "escaped quotes": (b'"' + b'\\"' * 400_000 + b'"', JSON, 422, ""),
    "unclosed escaped quotes": (b"[" * 33 + b'"' + b'\\"' * 400_000, JSON, 400, "too-deep"),
    "escaped quotes among brackets": (b"[]" * 40 + b'"' + b'\\"' * 400_000, JSON, 400, "not-json"),
    "backslashes": (b"[]" * 40 + b'"' + b"\\" * 900_001, JSON, 400, "not-json"),
    "many quotes": (b'"' * 900_001, JSON, 400, "not-json"),
    "odd names": (having(**{"a/b~c": 1}), JSON, 422, ""),
    "numbers as text": (having(length="nan"), JSON, 422, ""),
    "true for a quantity": (having(length=True), JSON, 422, ""),
    "an object of objects": (having(length={"value": {"value": 1}, "unit": []}), JSON, 422, ""),
    "a long text": (having(length="1" * 500_000 + " ft"), JSON, 422, ""),
    "a sum for the parser": (having(length="10**10**9 ft"), JSON, 422, ""),
    "5000 zones": (having(zones=[{}] * 5000), JSON, 422, ""),
}


@pytest.mark.parametrize("name", BODIES)
def test_hostile_body_is_refused(send: Send, name: str) -> None:
    """Quadratic work on a megabyte would take hours; ``tests/bench/hostile.py`` has what each costs."""
    content, headers, status, code = BODIES[name]
    response = send("POST", "/v1/calculate/area", content=content, headers=headers)
    assert response.status_code == status, response.text[:300]
    assert response.headers["content-type"] == "application/problem+json"
    faults = response.json()["errors"]
    if code:
        assert faults[0]["code"] == code
    assert len(response.content) < 1_000_000


def test_a_byte_order_mark_is_skipped(send: Send) -> None:
    assert send("POST", "/v1/calculate/area", content=b"\xef\xbb\xbf" + having(), headers=JSON).status_code == 200


def test_pointers_escape_slash_and_tilde(send: Send) -> None:
    """RFC 6901, section 3: ~ is ~0 and / is ~1."""
    response = send("POST", "/v1/calculate/area", json={**GOOD, "a/b~c": 1})
    assert [fault["pointer"] for fault in response.json()["errors"]] == ["/a~1b~0c"]


def test_bodies_that_never_end_hold_no_more_than_their_room_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each may have a little for itself; what is beyond that is shared, and who gets none of it waits in vain."""
    monkeypatch.setattr(body, "WAITING", 500_000)
    monkeypatch.setattr(body, "DEADLINE", 0.5)
    clients, piece, taken = 100, b" " * 8192, 0

    class Endless:
        headers: ClassVar[dict[str, str]] = {}

        async def receive(self) -> dict[str, Any]:
            nonlocal taken
            await asyncio.sleep(0)
            taken += len(piece)
            return {"type": "http.request", "body": piece, "more_body": True}

    async def all_of_them() -> list[Any]:
        endless: Any = Endless()
        return await asyncio.gather(*(body.read(endless) for _ in range(clients)), return_exceptions=True)

    found = asyncio.run(all_of_them())
    assert {error.kind.status for error in found} == {408}
    assert taken <= 500_000 + clients * (body.SMALL + 2 * len(piece))
    # And all of it is given back.
    assert body._room.held == 0


class TestStrictJson:
    @pytest.mark.parametrize(
        ("text", "tree"),
        [
            (b"1.0", 1.0),
            (b"-0", 0),
            (b"12345678901234567890", 12345678901234567890),
            (b'{"a":[true,false,null,"\\u00e9\\ud83e\\udeb5"]}', {"a": [True, False, None, "é\U0001fab5"]}),
            (b"[" * 32 + b"]" * 32, eval("[" * 32 + "]" * 32)),
        ],
    )
    def test_reads(self, text: bytes, tree: Any) -> None:
        assert strict_json.decode(text) == tree

    def test_an_integral_float_stays_a_float(self) -> None:
        assert isinstance(strict_json.decode(b"1.0"), float)

    def test_says_where_it_stopped(self) -> None:
        with pytest.raises(Malformed, match="line 2, column 4"):
            strict_json.decode(b'{"a":\n 1 x}')
