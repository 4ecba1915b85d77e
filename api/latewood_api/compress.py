"""Answers as gzip for who takes it: whole answers, where size and kind are worth it; a table goes out as it comes.

A tag names the very bytes (RFC 9110, section 8.8.3), so what is compressed has a tag of its own: that of the plain
answer with a mark. A tag sent back is read without the mark, and a 304 gives the caller back the one it has.
"""

from __future__ import annotations

import re
import zlib
from collections import OrderedDict
from collections.abc import Iterable
from typing import Final

Headers = list[tuple[bytes, bytes]]
Given = Iterable[tuple[bytes, bytes]]

#: Smaller answers fit one packet as they are.
LEAST: Final = 1400
#: What is kept compressed, by tag: pages, lists and the contract, which are asked for again and do not change.
KEPT_BYTES: Final = 4_000_000
_MARK: Final = b"-gzip"
_MARKED: Final = re.compile(rb'"([^"]*)-gzip"')
_KINDS: Final = re.compile(rb"(?:text/|application/(?:json|problem\+json|javascript)|image/svg\+xml)")
_TAKEN: Final = re.compile(rb"(?:x-)?gzip|\*")
_kept: OrderedDict[bytes, bytes] = OrderedDict()


def takes_gzip(headers: Given) -> bool:
    """Say whether gzip is asked for: named, or any coding is welcome, and not with a quality of zero."""
    said: dict[bytes, bool] = {}
    for name, value in headers:
        if name.lower() == b"accept-encoding":
            for one in value.lower().split(b","):
                coding, *parameters = (part.strip() for part in one.split(b";"))
                if _TAKEN.fullmatch(coding):
                    refused = any(re.fullmatch(rb"q=0(?:\.0{0,3})?", parameter) for parameter in parameters)
                    said[coding.removeprefix(b"x-")] = not refused
    return said.get(b"gzip", said.get(b"*", False))


def unmarked(headers: Given) -> tuple[Headers, set[bytes]]:
    """Return the request's headers with tags as the application knows them, and those that had the mark."""
    marked: set[bytes] = set()
    found = []
    for name, value in headers:
        if name.lower() == b"if-none-match":
            marked.update(b'"%b"' % tag for tag in _MARKED.findall(value))
            value = _MARKED.sub(rb'"\1"', value)
        found.append((name, value))
    return found, marked


def compressed(status: int, headers: Headers, body: bytes) -> tuple[Headers, bytes]:
    """Return a whole answer compressed, or as it is where that would save nothing."""
    said = {name.lower(): value for name, value in headers}
    if len(body) < LEAST or b"content-encoding" in said or not _KINDS.match(said.get(b"content-type", b"")):
        return headers, body
    tag = said.get(b"etag")
    packed = _pack(tag if status == 200 and said.get(b"cache-control") != b"no-store" else None, body)
    found = [(name, value) for name, value in headers if name.lower() not in (b"content-length", b"etag")]
    found += [(b"content-length", b"%d" % len(packed)), (b"content-encoding", b"gzip")]
    return (found if tag is None else [*found, (b"etag", mark(tag))]), packed


def mark(tag: bytes) -> bytes:
    """Return the tag of the compressed form."""
    return tag[:-1] + _MARK + b'"'


def _pack(tag: bytes | None, body: bytes) -> bytes:
    if tag is not None and tag in _kept:
        _kept.move_to_end(tag)
        return _kept[tag]
    # The fastest level: at higher ones a large answer would hold everybody else up for milliseconds to save a little.
    packer = zlib.compressobj(1, zlib.DEFLATED, 31)
    packed = packer.compress(body) + packer.flush()
    if tag is not None:
        _kept[tag] = packed
        while sum(map(len, _kept.values())) > KEPT_BYTES:
            _kept.popitem(last=False)
    return packed


def restored(headers: Headers, marked: set[bytes]) -> Headers:
    """Return the headers of a 304 with the tag the caller has."""
    return [(n, mark(v) if n.lower() == b"etag" and v in marked else v) for n, v in headers]
