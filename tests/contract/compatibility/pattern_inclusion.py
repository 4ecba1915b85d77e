"""Whether every text one pattern takes is taken by another: regular expressions compared as languages.

Patterns in the contract grow: a new unit is one more word in an alternation. Whether that only adds texts cannot be
seen from the spelling, so it is worked out by derivatives (Brzozowski, Journal of the ACM 11, 1964, 481-494; partial
derivatives after Antimirov, Theoretical Computer Science 155, 1996, 291-319). Counted repeats stay counted.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from tests.contract.compatibility.pattern_nodes import (
    EMPTY,
    Alternatives,
    Chars,
    Node,
    Repeat,
    Sequence,
    repeat,
    sequence,
)
from tests.contract.compatibility.pattern_syntax import Unread, parse

#: Pairs of states looked at before giving up; the largest pattern of the contract against itself needs a tenth of it.
BUDGET = 60_000


@dataclass(frozen=True)
class Verdict:
    """``included`` is None where it cannot be told, and ``text`` is a text that only the first pattern takes."""

    included: bool | None
    text: str = ""


@lru_cache(maxsize=512)
def included(first: str, second: str) -> Verdict:
    """Say whether every text matching ``first`` matches ``second``; both as JSON Schema reads them, unanchored."""
    if first == second:
        return Verdict(included=True)
    try:
        start = parse(first)
        goal = frozenset({parse(second)})
    except Unread:
        return Verdict(included=None)
    waiting = [(start, goal, "")]
    seen = {(start, goal)}
    while waiting:
        one, others, text = waiting.pop()
        if one in others:
            continue
        if one.empty and not any(other.empty for other in others):
            return Verdict(included=False, text=text)
        if len(seen) > BUDGET:
            return Verdict(included=None)
        for sample in _samples(_first(one), frozenset().union(*(_first(other) for other in others))):
            after = frozenset(node for other in others for node in _after(other, sample))
            for node in _after(one, sample):
                if (node, after) not in seen:
                    seen.add((node, after))
                    waiting.append((node, after, text + chr(sample)))
    return Verdict(included=True)


@lru_cache(maxsize=200_000)
def _first(node: Node) -> frozenset[Chars]:
    """Return the sets of characters a text of this node can begin with."""
    match node:
        case Chars():
            return frozenset({node})
        case Alternatives(parts=parts):
            return frozenset().union(*(_first(part) for part in parts))
        case Sequence(head=head, tail=tail):
            return _first(head) | _first(tail) if head.empty else _first(head)
        case Repeat(body=body):
            return _first(body)
    return frozenset()


@lru_cache(maxsize=500_000)
def _after(node: Node, char: int) -> frozenset[Node]:
    """Return what may follow once the character is read, as alternatives."""
    match node:
        case Chars():
            return frozenset({EMPTY}) if char in node else frozenset()
        case Alternatives(parts=parts):
            return frozenset(found for part in parts for found in _after(part, char))
        case Sequence(head=head, tail=tail):
            found = frozenset(_then(one, tail) for one in _after(head, char))
            return found | _after(tail, char) if head.empty else found
        case Repeat(body=body, low=low, high=high):
            rest = repeat(body, max(low - 1, 0), None if high is None else high - 1)
            return frozenset(_then(one, rest) for one in _after(body, char))
    return frozenset()


def _then(one: Node, tail: Node) -> Node:
    return sequence([one, tail])


@lru_cache(maxsize=50_000)
def _samples(wanted: frozenset[Chars], known: frozenset[Chars]) -> list[int]:
    """Return one character for each way the sets can tell those that can come next apart."""
    every = [*wanted, *known]
    edges = sorted({edge for chars in every for low, high in chars.ranges for edge in (low, high + 1)} | {0xE000})
    kinds: dict[tuple[bool, ...], int] = {}
    for low in edges:
        # Half a surrogate pair is no character: no text in UTF-8 has one.
        if not 0xD800 <= low < 0xE000 and any(low in chars for chars in wanted):
            kinds.setdefault(tuple(low in chars for chars in every), low)
    return list(kinds.values())


__all__ = ["Verdict", "included"]
