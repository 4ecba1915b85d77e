"""JSON read strictly: one meaning or none.

The usual decoders let through what two programs may read differently: a key given twice, a number too long to keep,
half a surrogate pair. A calculation must not depend on which of two values a library happened to pick.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any, Final, NoReturn

from latewood.messages import Code, Count, malformed

#: Deeper than any request of ours; far below what would exhaust a decoder's stack.
MAX_DEPTH: Final = 32
#: A count with more digits than this has no use here, and converting long ones takes quadratic time.
MAX_DIGITS: Final = 20

#: Strings are skipped whole, an unfinished one to the end. Possessive, or hostile text would take quadratic time.
_STRUCTURE = re.compile(r'"(?:[^"\\]++|\\.)*+(?:"|\\?\Z)|[\[\]{}]', re.DOTALL)
_SURROGATE = re.compile(r"\\u[dD][89a-fA-F]")


def decode(body: bytes) -> Any:
    """Return the tree a JSON body spells: dicts, lists, texts, ints, floats, booleans and None.

    Raises `Malformed` for what is not UTF-8, not JSON, empty, nested too deeply, or ambiguous: duplicate keys, NaN,
    Infinity, numbers beyond a float, whole numbers over 20 digits, lone surrogates. A byte order mark is skipped.
    1.0 stays a float; readers decide whether that is a whole number.

    Source: RFC 8259 (grammar, and the interoperability limits it warns of in sections 4, 6 and 8).
    """
    try:
        text = body.decode("utf-8").removeprefix("\ufeff")
    except UnicodeDecodeError as error:
        raise malformed("json-not-utf8", byte=Count(error.start)) from None
    if not text.strip(" \t\r\n"):
        raise malformed("empty-body")
    _check_depth(text)
    try:
        tree = json.loads(
            text,
            object_pairs_hook=_object,
            parse_constant=_constant,
            parse_float=_float,
            parse_int=_int,
        )
    except json.JSONDecodeError as error:
        line, column = Count(error.lineno), Count(error.colno)
        raise malformed("not-json", why=Code(error.msg), line=line, column=column) from None
    if _SURROGATE.search(text):
        _check_surrogates(tree)
    return tree


def _check_depth(text: str) -> None:
    if text.count("[") + text.count("{") <= MAX_DEPTH:
        return
    depth = 0
    for match in _STRUCTURE.finditer(text):
        mark = match[0]
        if mark in ("[", "{"):
            depth += 1
            if depth > MAX_DEPTH:
                raise malformed("too-deep", most=Count(MAX_DEPTH))
        elif mark in ("]", "}"):
            depth -= 1


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise malformed("duplicate-key", name=Code(repr(name[:80])))
            seen.add(name)
    return found


def _constant(word: str) -> NoReturn:
    raise malformed("no-number-in-json", word=Code(word))


def _float(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise malformed("number-beyond-float", digits=Code(digits[:40]))
    return value


def _int(digits: str) -> int:
    if len(digits.lstrip("-")) > MAX_DIGITS:
        raise malformed("too-many-digits", digits=Count(len(digits)), most=Count(MAX_DIGITS))
    return int(digits)


def _check_surrogates(tree: Any) -> None:
    """Refuse half a pair: such text cannot be written back as UTF-8."""
    waiting = [tree]
    while waiting:
        part = waiting.pop()
        if isinstance(part, str):
            try:
                part.encode("utf-8")
            except UnicodeEncodeError:
                raise malformed("lone-surrogate") from None
        elif isinstance(part, dict):
            waiting.extend(part)
            waiting.extend(part.values())
        elif isinstance(part, list):
            waiting.extend(part)


__all__ = ["MAX_DEPTH", "MAX_DIGITS", "decode"]
