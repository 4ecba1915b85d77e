"""What of a request was large: said where its calculation was ended, for nothing else is known of it then."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from typing import Any, Final
from urllib.parse import unquote_plus

import msgspec

from latewood.problems import Fault, escape

#: How many parts are named, and how large one must be.
NAMED: Final = 3
ITEMS: Final = 10
CHARACTERS: Final = 100


def largest(sent: bytes | Sequence[tuple[str, str]]) -> list[Fault]:
    """Return a fault for each of the largest parts of a body, a query or a row."""
    found = heapq.nlargest(NAMED, _parts(_tree(sent)), key=lambda part: part[0])
    code = "calculation-too-long"
    return [
        Fault(pointer=pointer, code=code, detail=f"this part has {count} {what}", expected=f"fewer {what}")
        for _, pointer, count, what in found
    ]


def _tree(sent: bytes | Sequence[tuple[str, str]]) -> Any:
    if not isinstance(sent, bytes):
        return {name.replace(".", "/"): value for name, value in sent}
    if sent.lstrip()[:1] == b"{":
        return msgspec.json.decode(sent)
    pairs = (piece.partition("=") for piece in sent.decode("latin-1").split("&"))
    return {unquote_plus(name).replace(".", "/"): unquote_plus(value) for name, _, value in pairs}


def _parts(tree: Any) -> Iterator[tuple[int, str, int, str]]:
    """Yield the weight, the pointer and the number of what is in each large part."""
    waiting = [("", tree)]
    while waiting:
        pointer, part = waiting.pop()
        if isinstance(part, str):
            if len(part) >= CHARACTERS:
                yield len(part), pointer, len(part), "characters"
        elif isinstance(part, dict):
            # A pointer that is given whole has its slashes already.
            waiting += [(f"{pointer}/{name if '/' in name else escape(name)}", inner) for name, inner in part.items()]
        elif isinstance(part, list):
            if len(part) >= ITEMS:
                yield 10 * len(part), pointer, len(part), "items"
            waiting += [(f"{pointer}/{index}", inner) for index, inner in enumerate(part[:1000])]
