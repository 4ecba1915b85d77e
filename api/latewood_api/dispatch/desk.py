"""Who calculates what is asked: this process, unless it is given workers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from litestar.types import Receive

from latewood.catalogue import Catalogue
from latewood.declare import Calculator
from latewood_api.failures import Failures

Sent = bytes | Sequence[tuple[str, str]]


class Ended(Exception):
    """The worker ended before its work was done, and not for its length."""


class TooLong(Exception):
    """The work took more processor time or memory than it may, or more time on the clock."""


class Desk:
    """Everything is calculated at once, in this process, as long as it takes."""

    #: Seconds rows of a table are worked at before others get their turn.
    turn: float = 0.002

    def __init__(self, lw: Catalogue) -> None:
        self.lw = lw
        self.failures = Failures()

    async def perform(
        self,
        do: Callable[..., Any],
        *arguments: Any,
        of: Calculator | None = None,
        sent: Sent = b"",
        size: int = 0,
        receive: Receive | None = None,
    ) -> Any:
        """Return what ``do`` makes of the engine and its arguments; ``sent`` and ``size`` are what it was asked by.

        ``receive`` says when the client has left, whose request must be read whole.
        """
        return do(self.lw, *arguments)

    async def rows(self, do: Callable[..., Any], *arguments: Any, of: Calculator, size: int) -> Any:
        """Do the same for rows of a table, the longest of so many bytes; they wait as long as it takes.

        Raises `TooLong` where they are too much together, and `Ended` where a worker did not survive them.
        """
        return do(self.lw, *arguments)

    async def aside(self, do: Callable[..., Any]) -> Any:
        """Do the same for what no request waits in a queue for."""
        return do(self.lw)
