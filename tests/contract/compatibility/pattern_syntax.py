"""Regular expressions as trees: the plain part of ECMA-262 that the contract's patterns keep to.

Literals, escapes, sets, groups, alternatives and repeats; ``^`` at the start and ``$`` at the end. No look-around, no
back-references, no lazy repeats: they are `Unread`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from tests.contract.compatibility.pattern_nodes import (
    ANYTHING,
    Node,
    Ranges,
    alternatives,
    chars,
    others,
    repeat,
    sequence,
)

_CLASSES: Final[dict[str, Ranges]] = {
    "d": ((48, 57),),
    "w": ((48, 57), (65, 90), (95, 95), (97, 122)),
    # ECMA-262's WhiteSpace and LineTerminator.
    "s": (
        (9, 13),
        (32, 32),
        (160, 160),
        (0x1680, 0x1680),
        (0x2000, 0x200A),
        (0x2028, 0x2029),
        (0x202F, 0x202F),
        (0x205F, 0x205F),
        (0x3000, 0x3000),
        (0xFEFF, 0xFEFF),
    ),
}
_CONTROLS: Final = {"t": 9, "n": 10, "v": 11, "f": 12, "r": 13, "0": 0}
_COUNT = re.compile(r"\{([0-9]+)(,?)([0-9]*)\}")


class Unread(ValueError):
    """The pattern uses what this module does not read."""


@dataclass
class _Reader:
    """Reads one pattern from left to right."""

    text: str
    at: int = 0

    def peek(self) -> str:
        return self.text[self.at : self.at + 1]

    def take(self, piece: str) -> bool:
        if self.text.startswith(piece, self.at):
            self.at += len(piece)
            return True
        return False

    def next(self) -> str:
        if self.at >= len(self.text):
            raise Unread("the pattern ends too early")
        self.at += 1
        return self.text[self.at - 1]

    def alternatives(self, *, top: bool = False) -> Node:
        found = [self.sequence(top=top)]
        while self.take("|"):
            found.append(self.sequence(top=top))
        return alternatives(found)

    def sequence(self, *, top: bool) -> Node:
        """Read one alternative. Without anchors it takes any text that has a match somewhere, so the rest is filled."""
        open_start = top and not self.take("^")
        parts: list[Node] = []
        open_end = top
        while self.peek() not in ("", "|", ")"):
            if top and self.text[self.at] == "$" and self.text[self.at + 1 : self.at + 2] in ("", "|"):
                self.at += 1
                open_end = False
                continue
            parts.append(self.repeated(self.atom()))
        return sequence([*([ANYTHING] if open_start else []), *parts, *([ANYTHING] if open_end else [])])

    def atom(self) -> Node:
        char = self.next()
        if char == "(":
            if self.peek() == "?" and not self.take("?:"):
                raise Unread("look-around and named groups are not read")
            inside = self.alternatives()
            if not self.take(")"):
                raise Unread("a group is not closed")
            return inside
        if char == "[":
            return self.set()
        if char == ".":
            return chars(others(((10, 10), (13, 13), (0x2028, 0x2029))))
        if char == "\\":
            return chars(self.escape())
        if char in "^$*+?{":
            raise Unread(f"{char} is not read here")
        return chars(((ord(char), ord(char)),))

    def escape(self) -> Ranges:
        char = self.next()
        if char in _CLASSES:
            return _CLASSES[char]
        if char.lower() in _CLASSES:
            return others(_CLASSES[char.lower()])
        if char in "ux" and (found := re.compile(r"u([0-9a-fA-F]{4})|x([0-9a-fA-F]{2})").match(self.text, self.at - 1)):
            self.at = found.end()
            return ((int(found[1] or found[2], 16),) * 2,)
        if char in _CONTROLS:
            return ((_CONTROLS[char],) * 2,)
        if char.isalnum():
            raise Unread(f"\\{char} is not read")
        return ((ord(char),) * 2,)

    def set(self) -> Node:
        turned = self.take("^")
        ranges: list[tuple[int, int]] = []
        while not self.take("]"):
            low = self.member()
            if len(low) == 1 and low[0][0] == low[0][1] and self.peek() == "-" and self.text[self.at + 1 :][:1] != "]":
                self.next()
                high = self.member()
                ranges.append((low[0][0], high[0][1]))
            else:
                ranges.extend(low)
        found = tuple(sorted(ranges))
        return chars(others(found) if turned else found)

    def member(self) -> Ranges:
        char = self.next()
        return self.escape() if char == "\\" else ((ord(char),) * 2,)

    def repeated(self, body: Node) -> Node:
        while True:
            if found := _COUNT.match(self.text, self.at):
                self.at = found.end()
                low = int(found[1])
                body = repeat(body, low, (int(found[3]) if found[3] else None) if found[2] else low)
            elif self.take("*"):
                body = repeat(body, 0, None)
            elif self.take("+"):
                body = repeat(body, 1, None)
            elif self.take("?"):
                body = repeat(body, 0, 1)
            else:
                return body
            if self.peek() in ("?", "+"):
                raise Unread("lazy and possessive repeats are not read")


def parse(pattern: str) -> Node:
    """Return the tree of every text in which the pattern has a match. Raises Unread."""
    reader = _Reader(pattern)
    tree = reader.alternatives(top=True)
    if reader.at != len(pattern):
        raise Unread("a bracket is closed that was not opened")
    return tree
