"""A table from file to file."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, Final

from latewood.columns.table import Table

#: Small enough that what is told of it moves within a second.
PIECE: Final = 8192


def convert(table: Table, source: BinaryIO, target: BinaryIO, seen: Callable[[int, int], None]) -> None:
    """Answer the rows of one stream in another; memory does not grow with their number.

    After each line ``seen`` is told the bytes read and the rows answered.
    """
    read = 0
    # read1 gives what is there, so that a pipe gets its rows answered as they come.
    while piece := source.read1(PIECE):  # type: ignore[attr-defined]  # buffered readers have it
        read += len(piece)
        for line in table.feed(piece):
            target.write(line)
            seen(read, table.answered + table.refused)
    for line in table.finish():
        target.write(line)
        seen(read, table.answered + table.refused)


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
