"""What a terminal gets and a pipe does not: a page with colours, and progress. Only here is rich imported."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from rich.console import Console

#: Told of what is done, in the unit of the total, and of the number of rows or checks.
Seen = Callable[[int, int], None]


def screen(stream: TextIO, form: str | None = None) -> Console | None:
    """Return what draws on a terminal, as wide as it is and with colours unless NO_COLOR is set.

    None stands for anything else, unless text is asked for, and for JSON.
    """
    if form == "json" or not (stream.isatty() or form == "text"):
        return None
    from rich.console import Console

    return Console(file=stream, highlight=False, markup=False, emoji=False)


@contextmanager
def progress(what: str, total: int | None) -> Iterator[Seen]:
    """Show on a terminal how far work is, its rate and the time that is left; what is shown goes when it ends."""
    console = screen(sys.stderr)
    if console is None:
        yield lambda done, count: None
        return
    from rich.progress import BarColumn, Progress, TaskProgressColumn, TextColumn, TimeRemainingColumn

    told = TextColumn("{task.fields[told]}", markup=False)
    # What comes from a pipe has no end that could be told beforehand.
    columns = (told,) if total is None else (BarColumn(None), TaskProgressColumn(), told, TimeRemainingColumn())
    with Progress(*columns, console=console, transient=True, expand=True) as bar:
        task = bar.add_task("", total=total, told="")
        began = time.monotonic()

        def seen(done: int, count: int) -> None:
            rate = count / max(time.monotonic() - began, 1e-3)
            bar.update(task, completed=done, told=f"{count:,} {what}, {rate:,.0f}/s")

        yield seen
