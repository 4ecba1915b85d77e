"""The day of an answer, and what may not lie after it. No clock is read: the day is given, or nothing is held to it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Annotated, Literal

from latewood.declare import F
from latewood.messages import Code, Moment, Word, refusal
from latewood.problems import Fault
from latewood.provenance import Ledger

#: The question, as every calculator asks it whose answer turns on what was tested, seen or built before.
AsOf = Annotated[
    date,
    F("Day of the answer; tests lie before it, and boards built in that year count as new", example="2026-05-04"),
]


def ahead(
    day: date | None, today: date | None, pointer: str, what: Literal["test", "day", "reading"]
) -> Iterator[Fault]:
    """Find a day that something was done or seen on, and that is still to come."""
    if day is not None and today is not None and day > today:
        yield refusal("day-ahead", pointer, what=Word("dated", what), today=Moment(today))


def built_ahead(built: int | None, today: date | None, pointer: str = "/year_built") -> Iterator[Fault]:
    """Find a year of building that is still to come: it would rule lead and arsenic out."""
    if built is not None and today is not None and built > today.year:
        yield refusal("built-ahead", pointer, today=Code(today.year))


def note_unchecked(day: date | None, today: date | None, ledger: Ledger) -> None:
    """Say once that the day of a test was held against nothing, where no day of the answer is given."""
    name = "test-day-unchecked"
    if day is None or today is not None or any(finding.id == name for finding in ledger.raised):
        return
    ledger.find(name, pointer="/as_of", day=Moment(day))
