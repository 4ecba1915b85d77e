"""Rows out of CSV text that arrives in pieces: RFC 4180, with any of the three line ends, in bounded memory.

A row that cannot be read is given as a fault, and reading goes on at the next line: one bad row spoils no others.
"""

from __future__ import annotations

import codecs
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

from latewood.messages import Count, malformed, refusal
from latewood.problems import Fault

#: What one cell of a spreadsheet holds.
MAX_CELL: Final = 32_767
#: The longest row, in characters; a quotation mark that is never closed is noticed after so many.
MAX_ROW: Final = 1_000_000
#: Up to this length an unfinished row is looked at again whenever a line of it arrives.
_SHORT: Final = 8192

_LINE_END = re.compile(r"\r\n|\n|\r")
# What is no text: NUL, and bytes that were not UTF-8.
_NO_TEXT = re.compile("[\x00\udc80-\udcff]")
_BOM = "\ufeff"


class Unreadable(ValueError):
    """A row that is not CSV: why is the id of a refusal, with the most characters where there are too many."""

    def __init__(self, id: str, **values: Any) -> None:
        super().__init__(id)
        self.id = id
        self.values = values


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a table: its cells, or why it has none, and the line of the file it starts at."""

    line: int
    cells: list[str]
    fault: Fault | None = None


class Text:
    """Turns bytes into text; bytes that are not UTF-8 stay marked, so that only their row is refused."""

    def __init__(self) -> None:
        self._decoder = codecs.getincrementaldecoder("utf-8")(errors="surrogateescape")
        self._first = b""
        self._started = False
        self.bom = False

    def decode(self, piece: bytes, *, final: bool = False) -> str:
        """Return the text of the next piece; raise `Malformed` where the first bytes say it is not UTF-8."""
        if self._started:
            return self._decoder.decode(piece, final)
        self._first += piece
        if len(self._first) < 3 and not final:
            return ""
        if self._first.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            raise malformed("table-in-utf16")
        self._started = True
        text = self._decoder.decode(self._first, final)
        self.bom = text.startswith(_BOM)
        return text.removeprefix(_BOM)


def cells_of(text: str, start: int, delimiter: str, *, final: bool) -> tuple[list[str], int] | None:
    """Return the cells of the row that starts here and where the next starts; None where its end has not arrived.

    Raises `Unreadable`. A quotation mark inside a cell that does not begin with one stands for itself, as in
    ``12' 6"``.
    """
    field = _field(delimiter)
    cells = []
    at = start
    while True:
        found = field.match(text, at)
        if found is None:
            _check_open(text, at, final=final)
            return None
        quoted = found[1]
        cells.append(found[2] if quoted is None else quoted.replace('""', '"'))
        at = found.end()
        if at >= len(text):
            return (cells, at) if final else None
        if text[at] != delimiter:
            break
        at += 1
    if text[at] == "\r" and at + 1 == len(text) and not final:
        return None
    return cells, at + (2 if text.startswith("\r\n", at) else 1)


@cache
def _field(delimiter: str) -> re.Pattern[str]:
    # The repetitions give nothing back, so that matching takes time linear in the text.
    quoted = r'"([^"]*+(?:""[^"]*+)*+)"'
    bare = rf'((?:[^"{delimiter}\r\n][^{delimiter}\r\n]*+)?+)'
    return re.compile(rf"(?:{quoted}|{bare})(?=[{delimiter}\r\n]|\Z)")


_QUOTED = re.compile(r'"[^"]*+(?:""[^"]*+)*+"')


def _check_open(text: str, at: int, *, final: bool) -> None:
    """Raise `Unreadable` where the quoted cell that begins here cannot be waited for."""
    closed = _QUOTED.match(text, at)
    if closed is not None and closed.end() < len(text):
        raise Unreadable("text-after-quotation")
    if final:
        raise Unreadable("quotation-never-closed")


class Splitter:
    """Cuts text into rows."""

    def __init__(self, delimiter: str, *, line: int = 1) -> None:
        self.delimiter = delimiter
        self._line = line
        self._rest = ""
        self._looked = 0
        self._skipping = False

    def feed(self, text: str, *, final: bool = False) -> Iterator[Row]:
        """Yield the rows that are complete now. To be exhausted before the next piece."""
        self._rest += text
        if not final and not self._worth_looking():
            return
        at = 0
        if self._skipping:
            at = self._skip()
        while at < len(self._rest) and not self._skipping:
            row, after = self._next(at, final=final)
            if row is None:
                break
            yield row
            at = after
        self._rest = self._rest[at:]
        self._looked = len(self._rest)

    def _worth_looking(self) -> bool:
        """Say whether an unfinished row can have become whole, and has grown by enough where it is long.

        Otherwise a long row that arrives in single characters would be read from its start as many times.
        """
        length = len(self._rest)
        if self._skipping or length > MAX_ROW:
            return True
        if _LINE_END.search(self._rest, max(0, self._looked - 1)) is None:
            return False
        return length <= _SHORT or length >= self._looked * 1.25

    def _next(self, at: int, *, final: bool) -> tuple[Row | None, int]:
        text, line = self._rest, self._line
        end = _LINE_END.search(text, at)
        first = len(text) if end is None else end.end()
        if end is not None and end[0] == "\r" and first == len(text) and not final:
            # Half of a line end, perhaps.
            return None, at
        if end is not None and end.start() - at > MAX_ROW:
            return self._bad(Unreadable("row-too-long", most=Count(MAX_ROW))), first
        stop = len(text) if end is None else end.start()
        whole = final or end is not None
        if text.find('"', at, stop) < 0:
            if whole:
                self._line += 1
                return self._checked(text[at:stop].split(self.delimiter), line, text, at, stop), first
        else:
            try:
                found = cells_of(text, at, self.delimiter, final=final)
            except Unreadable as bad:
                if whole:
                    return self._bad(bad), first
                found = None
            if found is not None:
                cells, after = found
                self._line += max(1, len(_LINE_END.findall(text, at, after)))
                return self._checked(cells, line, text, at, after), after
        if len(text) - at <= MAX_ROW:
            return None, at
        self._skipping = end is None
        return self._bad(Unreadable("row-without-end", most=Count(MAX_ROW))), first

    def _skip(self) -> int:
        """Pass over the rest of a line that was too long."""
        end = _LINE_END.search(self._rest)
        if end is None:
            return len(self._rest)
        if end[0] == "\r" and end.end() == len(self._rest):
            return end.start()
        self._skipping = False
        return end.end()

    def _bad(self, bad: Unreadable) -> Row:
        self._line += 1
        return _refused(self._line - 1, bad.id, **bad.values)

    def _checked(self, cells: list[str], line: int, text: str, at: int, stop: int) -> Row:
        if (strange := _NO_TEXT.search(text, at, stop)) is not None:
            if strange[0] == "\x00":
                return _refused(line, "row-with-nul")
            return _refused(line, "row-not-utf8")
        if stop - at > MAX_CELL and max(map(len, cells)) > MAX_CELL:
            return _refused(line, "cell-too-long", most=Count(MAX_CELL))
        return Row(line, cells)


def _refused(line: int, id: str, **values: Any) -> Row:
    return Row(line, [], refusal(id, "", line=Count(line), **values))
