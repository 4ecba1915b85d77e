"""Lines of a page: no line is wider than asked, a heading stands only where something is below it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, NamedTuple

from latewood.messages import Speaker
from latewood.report.model import Report
from latewood.report.wrapping import columns, wrapped

_ALL: Final = 1000


class Fold(NamedTuple):
    """What a page shows."""

    full: bool = False
    notes: int = _ALL
    #: The fields that take the answers, and lines that part one danger from the next.
    fields: bool = True
    apart: bool = True
    rows: bool = True
    parts: bool = True
    assumed: int = _ALL


class Lines:
    """Writes headings, lists and labels with values within a width."""

    def __init__(self, report: Report, speaker: Speaker, width: int, fold: Fold) -> None:
        self.report, self.speaker, self.width, self.fold = report, speaker, width, fold

    def _listed(self, head: str, texts: Sequence[str]) -> Iterator[str]:
        yield from self._head(head, texts)
        for one in texts:
            yield from self._hang("- ", one)

    def _head(self, word: str, rows: Iterable[object]) -> Iterator[str]:
        if any(True for _ in rows):
            yield ""
            yield from self._hang("", self._word(word).upper())

    def _hang(self, lead: str, line: str, rest: int | None = None) -> list[str]:
        indent = " " * (len(lead) if rest is None else rest)
        said = lead + line if line else ""
        return wrapped(said, self.width, indent=indent)

    def _sides(self, left: str, right: str) -> Iterator[str]:
        """Yield a label with its value at the right edge, or below where both do not fit."""
        if (apart := self.width - columns(left) - columns(right)) >= 1:
            yield left + " " * apart + right
        else:
            yield from (*self._hang("", left, 2), *self._hang("    ", right))

    def _word(self, word: str) -> str:
        return self.speaker.word("report", word)

    def _say(self, id: str, **values: object) -> str:
        return self.speaker.say(id, values)

    def _conditions(self, conditions: Sequence[str]) -> Iterator[str]:
        if conditions:
            yield from self._hang("  ", f"! {'; '.join(conditions)}.", 4)
