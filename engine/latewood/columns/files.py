"""A table from file to file, with a line of progress for those who watch a terminal."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, Final, TextIO

from latewood.columns.table import Table
from latewood.messages import Count, clause, in_english

#: Small enough that the progress moves within a second.
PIECE: Final = 8192
#: Seconds between two looks at the progress.
_OFTEN: Final = 0.2
_WIDTH: Final = 24


class Progress:
    """Draws a bar in a terminal; anywhere else it says nothing."""

    def __init__(self, stream: TextIO, size: int | None) -> None:
        self._stream = stream
        self._size = size
        self._shown = stream.isatty()
        self._began = self._next = time.monotonic()

    def show(self, read: int, table: Table) -> None:
        """Draw the bar where it is time to."""
        if not self._shown or (now := time.monotonic()) < self._next:
            return
        self._next = now + _OFTEN
        print(f"\r\x1b[K{self.line(read, table, now - self._began)}", end="", file=self._stream, flush=True)

    def line(self, read: int, table: Table, seconds: float) -> str:
        """Return the bar as text: share read, rows, rows in error, rows a second, time left."""
        rows = table.answered + table.refused
        rate = rows / seconds if seconds > 0 else 0.0
        text = in_english(clause("progress", rows=Count(rows), errors=Count(table.refused), rate=Count(round(rate))))
        if not self._size:
            return text
        share = min(read / self._size, 1.0)
        filled = round(share * _WIDTH)
        left = seconds / share - seconds if share else 0.0
        minutes, rest = divmod(round(left), 60)
        return f"[{'#' * filled}{'.' * (_WIDTH - filled)}] {share:4.0%}  {text}, {minutes}:{rest:02d} left"

    def done(self) -> None:
        """Take the bar away."""
        if self._shown:
            print("\r\x1b[K", end="", file=self._stream, flush=True)


def convert(table: Table, source: BinaryIO, target: BinaryIO, progress: Progress) -> None:
    """Answer the rows of one stream in another; memory does not grow with their number."""
    read = 0
    try:
        # read1 gives what is there, so that a pipe gets its rows answered as they come.
        while piece := source.read1(PIECE):  # type: ignore[attr-defined]  # buffered readers have it
            for line in table.feed(piece):
                target.write(line)
                progress.show(read, table)
            read += len(piece)
        for line in table.finish():
            target.write(line)
            progress.show(read, table)
    finally:
        progress.done()


def source_size(path: Path | None) -> int | None:
    """Return the size of a regular file in bytes; None where there is no telling."""
    return path.stat().st_size if path is not None and path.is_file() else None


@contextmanager
def writing(path: Path | None) -> Iterator[BinaryIO]:
    """Open a file that is put in place only when it is whole; None stands for the standard output."""
    if path is None:
        yield sys.stdout.buffer
        sys.stdout.buffer.flush()
        return
    part = path.with_name(f"{path.name}.part")
    try:
        with part.open("wb") as target:
            yield target
        os.replace(part, path)
    finally:
        part.unlink(missing_ok=True)
