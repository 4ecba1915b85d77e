"""Regular expressions as trees, each equal part one object."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Final

LAST: Final = 0x10FFFF
Ranges = tuple[tuple[int, int], ...]


@dataclass(frozen=True, eq=False)
class Node:
    """A regular expression; ``empty`` says whether it takes the empty text.

    Equal nodes are one object, made by the functions below: they are compared and looked up a million times.
    """

    empty: bool


@dataclass(frozen=True, eq=False)
class Chars(Node):
    """One character out of ranges of code points, both ends included."""

    ranges: Ranges

    def __contains__(self, char: int) -> bool:
        return any(low <= char <= high for low, high in self.ranges)

    def sample(self) -> int:
        """Return one of the characters."""
        return self.ranges[0][0]


@dataclass(frozen=True, eq=False)
class Alternatives(Node):
    """Any of several."""

    parts: frozenset[Node]


@dataclass(frozen=True, eq=False)
class Sequence(Node):
    """One after another; nested to the right, so that equal remainders are one object."""

    head: Node
    tail: Node


@dataclass(frozen=True, eq=False)
class Repeat(Node):
    """From ``low`` to ``high`` times; None for without end."""

    body: Node
    low: int
    high: int | None


EMPTY: Final = Node(empty=True)
NEVER: Final = Node(empty=False)


@cache
def chars(ranges: Ranges) -> Node:
    """Return the node of one character."""
    return Chars(empty=False, ranges=ranges) if ranges else NEVER


def others(ranges: Ranges) -> Ranges:
    """Return every other character."""
    found, start = [], 0
    for low, high in sorted(ranges):
        if start < low:
            found.append((start, low - 1))
        start = max(start, high + 1)
    return (*found, (start, LAST)) if start <= LAST else tuple(found)


def alternatives(parts: Iterable[Node]) -> Node:
    """Return the simplest node that takes what any part takes."""
    flat = {one for part in parts for one in (part.parts if isinstance(part, Alternatives) else {part})} - {NEVER}
    return next(iter(flat), NEVER) if len(flat) < 2 else _alternatives(frozenset(flat))


def sequence(parts: Iterable[Node]) -> Node:
    """Return the simplest node that takes the parts in order."""
    whole = EMPTY
    for part in reversed(list(parts)):
        if part is NEVER or whole is NEVER:
            whole = NEVER
        elif isinstance(part, Sequence):
            whole = sequence([part.head, sequence([part.tail, whole])])
        elif part is not EMPTY:
            whole = part if whole is EMPTY else _sequence(part, whole)
    return whole


def repeat(body: Node, low: int, high: int | None) -> Node:
    """Return the simplest node for a repeat."""
    if high == 0 or body in (EMPTY, NEVER):
        return NEVER if body is NEVER and low else EMPTY
    if body.empty:
        low = 0
    return body if (low, high) == (1, 1) else _repeat(body, low, high)


@cache
def _alternatives(parts: frozenset[Node]) -> Node:
    return Alternatives(any(part.empty for part in parts), parts)


@cache
def _sequence(head: Node, tail: Node) -> Node:
    return Sequence(head.empty and tail.empty, head, tail)


@cache
def _repeat(body: Node, low: int, high: int | None) -> Node:
    return Repeat(low == 0, body, low, high)


ANYTHING: Final = repeat(chars(((0, LAST),)), 0, None)
