"""Lines of text no wider than asked, by the columns that characters take on a screen, not by their number."""

from __future__ import annotations

import re
import unicodedata

_WORDS = re.compile(r"( +)")
#: Marks upon a letter, joiners and the like: they take no column of their own.
_WITHIN = frozenset({"Mn", "Me", "Cf"})


def columns(text: str) -> int:
    """Return how many columns a text takes: two for a character that East Asian screens show wide."""
    return len(text) if text.isascii() else sum(map(_columns_of, text))


def _columns_of(character: str) -> int:
    if unicodedata.category(character) in _WITHIN:
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def wrapped(text: str, width: int, *, indent: str = "") -> list[str]:
    """Return a text in lines of at most ``width`` columns, all but the first behind ``indent``.

    Breaks stand between words; only a word that is longer than a line is broken within itself.
    """
    lines: list[str] = []
    now, bare = "", True
    for word in _WORDS.split(text):
        blank = not word.strip(" ")
        if blank and bare and lines:
            continue
        if columns(now) + columns(word) <= width:
            now, bare = now + word, bare and blank
            continue
        if blank or columns(word) <= width - len(indent):
            lines += [] if bare else [now.rstrip(" ")]
            now, bare = indent + word.strip(" "), blank
            continue
        for character in word:
            if columns(now) + columns(character) > width:
                lines, now = [*lines, now.rstrip(" ")], indent
            now += character
        bare = False
    return lines if bare else [*lines, now.rstrip(" ")]
