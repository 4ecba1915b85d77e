"""JSON read strictly: one meaning or none.

The usual decoders let through what two programs may read differently: a key given twice, a number too long to keep,
half a surrogate pair. A calculation must not depend on which of two values a library happened to pick.
"""

from __future__ import annotations

import json
import math
import re
from typing import Any, Final, NoReturn

from latewood.problems import Malformed

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
        raise Malformed("bad-utf8", f"byte {error.start} is not UTF-8", "JSON text in UTF-8") from None
    if not text.strip(" \t\r\n"):
        raise Malformed("empty-body", "the body is empty", "a JSON object")
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
        detail = f"{error.msg} at line {error.lineno}, column {error.colno}"
        raise Malformed("not-json", detail, "one JSON document") from None
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
                raise Malformed("too-deep", f"nested more than {MAX_DEPTH} levels deep", f"at most {MAX_DEPTH} levels")
        elif mark in ("]", "}"):
            depth -= 1


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        seen: set[str] = set()
        for name, _ in pairs:
            if name in seen:
                raise Malformed("duplicate-key", f"the key {name[:80]!r} is given twice in one object", "each key once")
            seen.add(name)
    return found


def _constant(word: str) -> NoReturn:
    raise Malformed("not-finite", f"{word} is not a number in JSON", "a finite number")


def _float(digits: str) -> float:
    value = float(digits)
    if not math.isfinite(value):
        raise Malformed("not-finite", f"{digits[:40]} is beyond what a number can hold", "a finite number")
    return value


def _int(digits: str) -> int:
    if len(digits.lstrip("-")) > MAX_DIGITS:
        raise Malformed("too-many-digits", f"a whole number of {len(digits)} digits", f"at most {MAX_DIGITS} digits")
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
                raise Malformed("lone-surrogate", "a text holds half of a surrogate pair", "whole characters") from None
        elif isinstance(part, dict):
            waiting.extend(part)
            waiting.extend(part.values())
        elif isinstance(part, list):
            waiting.extend(part)


__all__ = ["MAX_DEPTH", "MAX_DIGITS", "decode"]
