"""Requests as bytes: too long, too many, unfinished, inflated, framed to be read in two ways."""

from __future__ import annotations

import gzip
import re
from typing import Final

GET: Final = b"GET /health/live HTTP/1.1\r\nHost: deck.example\r\n"
POST = b"POST /v1/calculate/area HTTP/1.1\r\nHost: deck.example\r\nContent-Type: application/json\r\n"
TABLE = b"POST /v1/table/area.csv HTTP/1.1\r\nHost: deck.example\r\nContent-Type: text/csv\r\n"
CHUNKED = b"Transfer-Encoding: chunked\r\n\r\n"
GOOD = b'{"length":"24 ft","width":"16 ft"}'
SIZED = b"Content-Length: %d\r\n\r\n" % len(GOOD)
MANY = b"".join(b"X-%d: a\r\n" % at for at in range(5000))
BLOCK = b"a" * 65536
#: A megabyte of zeros in a kilobyte, as often as it takes: 40 MB, if anybody unpacked it.
BOMB = gzip.compress(bytes(1_000_000)) * 40


#: Whole requests → the statuses of what may be answered, in order, and whether the client closes its side after them.
#: None of them is answered beyond that, and none of them as two.
WHOLE: dict[str, tuple[bytes, list[int], bool]] = {
    "body longer than it says": (POST + SIZED + GOOD + b"and more", [200, 400], False),
    "body shorter than it says": (POST + b"Content-Length: 500\r\n\r\n" + GOOD, [400], True),
    "chunks that never end": (POST + CHUNKED + b"1\r\n{\r\n", [400], True),
    "head that never ends": (GET, [], True),
    "5000 headers": (GET + MANY + b"\r\n", [431], False),
    "a megabyte of one header": (GET + b"X-A: " + b"a" * 1_000_000 + b"\r\n\r\n", [431], False),
    "a megabyte of a header's name": (GET + b"a" * 1_000_000 + b": x\r\n\r\n", [431], False),
    "a megabyte of address": (b"GET /" + b"a" * 1_000_000 + b" HTTP/1.1\r\nHost: x\r\n\r\n", [431], False),
    "a megabyte of method": (b"G" * 1_000_000, [400], False),
    "no host": (b"GET /health/live HTTP/1.1\r\n\r\n", [400], False),
    "two hosts": (GET + b"Host: other.example\r\n\r\n", [400], False),
    "a compressed bomb": (
        POST + b"Content-Encoding: gzip\r\nContent-Length: %d\r\n\r\n" % len(BOMB) + BOMB,
        [415],
        False,
    ),
    "a compressed bomb, in chunks": (
        POST + b"Content-Encoding: gzip\r\n" + CHUNKED + b"%x\r\n%b\r\n0\r\n\r\n" % (len(BOMB), BOMB),
        [415],
        False,
    ),
    "compressed twice by transfer": (
        POST + b"Transfer-Encoding: gzip, chunked\r\n\r\n1\r\n{\r\n0\r\n\r\n",
        [400],
        False,
    ),
    "a chunk longer than any number": (POST + CHUNKED + b"F" * 5000 + b"\r\n", [400], False),
    "chunks over the limit": (POST + CHUNKED + b"10000\r\n" + b" " * 65536 + b"\r\n", [400], True),
    "a switch to another protocol": (
        GET + b"Connection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n\r\n",
        [200],
        False,
    ),
    "a body before a switch to another protocol, as Java sends it": (
        POST + b"Connection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n" + SIZED + GOOD,
        [200],
        False,
    ),
    "the same in chunks": (
        POST + b"Connection: Upgrade\r\nUpgrade: h2c\r\n" + CHUNKED + b"%x\r\n%b\r\n0\r\n\r\n" % (len(GOOD), GOOD),
        [200],
        False,
    ),
    "half a body before a switch": (POST + b"Connection: Upgrade\r\nUpgrade: h2c\r\n" + SIZED + GOOD[:9], [400], True),
    "a request behind a switch": (
        POST + b"Connection: Upgrade\r\nUpgrade: h2c\r\n" + SIZED + GOOD + GET + b"\r\n",
        [200],
        False,
    ),
    "a trailer that would be a header": (
        POST + CHUNKED + b"%x\r\n%b\r\n0\r\nAccept: text/plain\r\n\r\n" % (len(GOOD), GOOD),
        [200],
        False,
    ),
    "HTTP/2 without asking": (b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n", [400], False),
    "a tunnel": (b"CONNECT other.example:443 HTTP/1.1\r\nHost: other.example:443\r\n\r\n", [400], False),
    "TLS": (b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + bytes(50), [400], False),
    "a smuggled request": (
        POST + b"Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\nGET /admin HTTP/1.1\r\n\r\n",
        [400],
        False,
    ),
    "a folded header": (GET + b"X-A: b\r\n c\r\n\r\n", [400], False),
    "HTTP/1.0": (b"GET /health/live HTTP/1.0\r\n\r\n", [200], False),
    "HTTP/1.0, a table": (
        TABLE.replace(b"1.1", b"1.0") + b"Content-Length: 26\r\n\r\nlength,width\r\n24 ft,16 ft\r\n",
        [200],
        False,
    ),
}


#: Rows that may also be answered so. A connection that is closed without a word has refused what came on it.
ALSO: dict[str, list[list[int]]] = {
    "body longer than it says": [[400]],
    "body shorter than it says": [[]],
    "chunks that never end": [[]],
    "a megabyte of address": [[400], [414]],
    "chunks over the limit": [[]],
    "half a body before a switch": [[]],
    # Who knows of no switch finds two requests one after the other.
    "a request behind a switch": [[400], [200, 200]],
}


def statuses(answer: bytes) -> list[int]:
    """Return the statuses of all answers; none of what we answer holds such a line itself."""
    return [int(found) for found in re.findall(rb"HTTP/1\.1 (\d{3}) ", answer)]


def refused_alike(found: list[int], expected: list[int]) -> bool:
    """Say whether a proxy refuses the same in words of its own, or closes the connection without one."""
    if expected and expected[-1] >= 400 and found == expected[:-1]:
        return True
    pairs = zip(found, expected, strict=False)
    return len(found) == len(expected) and all(a == b or 400 <= min(a, b) <= max(a, b) < 500 for a, b in pairs)


#: What would be answered with 404 if it were read as a request.
SECOND: Final = b"GET /second HTTP/1.1\r\nHost: deck.example\r\n\r\n"
LENGTH: Final = b"Content-Length: %d\r\n" % len(GOOD)
#: What is asked last, on a connection that is still open.
LAST: Final = b"GET /health/live HTTP/1.1\r\nHost: deck.example\r\nConnection: close\r\n\r\n"
IN_CHUNKS: Final = b"%x\r\n%b\r\n0\r\n\r\n" % (len(GOOD), GOOD)
#: As many bytes more than a word of 64 bits counts.
AROUND: Final = 2**64 + len(GOOD)
REFUSED: Final = {400}
#: Read as one request, or refused.
EITHER: Final = {200, 400}
NOWHERE: Final = {400, 404}


def _coded(coding: bytes) -> bytes:
    return POST + coding + b"\r\n\r\n" + IN_CHUNKS + SECOND


def _sized(lengths: bytes) -> bytes:
    return POST + lengths + b"\r\n" + GOOD + SECOND


def _asked(target: bytes, method: bytes = b"GET", host: bytes = b"deck.example") -> bytes:
    return method + b" " + target + b" HTTP/1.1\r\nHost: " + host + b"\r\n\r\n"


def _chunk(size: bytes, end: bytes = b"\r\n") -> bytes:
    return POST + CHUNKED + size + b"\r\n" + GOOD + end + b"0\r\n\r\n" + SECOND


#: Requests that two readers may read as different ones → what the one answer may be. Or the connection is closed. Where
#: a second request follows whose place is in doubt, it is never answered.
FRAMING: Final[dict[str, tuple[bytes, set[int]]]] = {
    "a length, and chunks that end before": (
        POST + b"Content-Length: %d\r\n" % (5 + len(SECOND)) + CHUNKED + b"0\r\n\r\n" + SECOND,
        REFUSED,
    ),
    "chunks, and a length that ends before": (
        POST + b"Transfer-Encoding: chunked\r\nContent-Length: 4\r\n\r\n2c\r\n" + SECOND + b"\r\n0\r\n\r\n",
        REFUSED,
    ),
    "a length and chunks that agree": (
        POST + b"Content-Length: %d\r\n" % len(IN_CHUNKS) + CHUNKED + IN_CHUNKS,
        REFUSED,
    ),
    "the same length twice": (_sized(LENGTH * 2), REFUSED),
    "two lengths": (_sized(LENGTH + b"Content-Length: 5\r\n"), REFUSED),
    "a list of lengths": (_sized(b"Content-Length: 34, 34\r\n"), REFUSED),
    "a length below zero": (_sized(b"Content-Length: -1\r\n"), REFUSED),
    "a length with a sign": (_sized(b"Content-Length: +34\r\n"), REFUSED),
    "a length in hexadecimal": (_sized(b"Content-Length: 0x22\r\n"), REFUSED),
    "a length with an exponent": (_sized(b"Content-Length: 1e3\r\n"), REFUSED),
    "a length around 64 bits": (_sized(b"Content-Length: %d\r\n" % AROUND), REFUSED),
    "a coding that sounds like chunks": (_coded(b"Transfer-Encoding: xchunked"), REFUSED),
    "chunked twice": (_coded(b"Transfer-Encoding: chunked\r\nTransfer-Encoding: chunked"), REFUSED),
    "chunked, identity": (_coded(b"Transfer-Encoding: chunked, identity"), REFUSED),
    "chunked after a tab": (POST + b"Transfer-Encoding:\tchunked\r\n\r\n" + IN_CHUNKS, EITHER),
    "chunked after a vertical tab": (_coded(b"Transfer-Encoding: \x0bchunked"), REFUSED),
    "chunked on a folded line": (_coded(b"Transfer-Encoding:\r\n chunked"), REFUSED),
    "lines that end without a return": (GET.replace(b"\r", b"") + b"\n", EITHER),
    "a return within a line": (GET + b"X-A: b\rContent-Length: 44\r\n\r\n" + SECOND, REFUSED),
    "a space before a colon": (POST + b"Content-Length : 34\r\n\r\n" + GOOD + SECOND, REFUSED),
    "a space before a header": (POST + b" " + LENGTH + b"\r\n" + GOOD + SECOND, REFUSED),
    "a header without a colon": (GET + b"X-A\r\n\r\n", EITHER),
    "a chunk below zero": (_chunk(b"-1"), REFUSED),
    "a chunk in words of C": (_chunk(b"0x22"), REFUSED),
    "a chunk around 64 bits": (_chunk(b"%x" % AROUND), REFUSED),
    "a chunk's extension with a bare line end": (_chunk(b"22;a\nb"), REFUSED),
    "a chunk that does not end where it says": (_chunk(b"22", end=b""), REFUSED),
    "an absolute address": (_asked(b"http://deck.example/health/live"), EITHER),
    "an absolute address elsewhere": (_asked(b"http://other.example/second"), NOWHERE),
    "an authority": (_asked(b"deck.example:443"), NOWHERE),
    "OPTIONS *": (_asked(b"*", b"OPTIONS"), {204, 400, 404, 405}),
    "TRACE": (_asked(b"/health/live", b"TRACE"), {400, 405}),
    "%00 in an address": (_asked(b"/health/live%00"), NOWHERE),
    "NUL in an address": (_asked(b"/health/live\x00"), NOWHERE),
    "NUL in a header": (GET + b"X-A: a\x00b\r\n\r\n", REFUSED),
    "%2f in an address": (_asked(b"/health%2flive"), NOWHERE),
    "// in an address": (_asked(b"//health//live"), NOWHERE),
    "dots in an address": (_asked(b"/v1/%2e%2e/health/live"), NOWHERE),
    "dots coded twice": (_asked(b"/v1/%252e%252e/health/live"), NOWHERE),
    "line ends in an address": (_asked(b"/health/live%0d%0aX-A:%20b"), NOWHERE),
    "a table's limits by dots": (_asked(b"/v1/calculate/%2e%2e/table/area.csv"), NOWHERE),
    "a second request behind a switch": (
        GET
        + b"Connection: Upgrade, HTTP2-Settings\r\nUpgrade: h2c\r\nHTTP2-Settings: AAMAAABk\r\n"
        + LENGTH
        + b"\r\n"
        + GOOD,
        EITHER,
    ),
}
