"""How fast a task goes, as time per unit, known to no minute."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final, Literal

from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.number import N

CountedBy = Literal["area", "length", "count", "occasions"]

#: The field that holds a pace, and what the task is counted by then.
_PACES: Final[Mapping[str, CountedBy]] = {
    "area_pace": "area",
    "length_pace": "length",
    "count_pace": "count",
    "time": "occasions",
}


class Rate(Record, frozen=True, kw_only=True):
    """The pace of one person at one task. Its slow end is the long end of the time a unit takes."""

    KIND: ClassVar[str] = "rate"

    task: Annotated[str, "What is done, with which tool, to what"]
    area_pace: Annotated[Sourced | None, N("m2/h", "Area done in an hour", least=0.05, most=1000)] = None
    length_pace: Annotated[Sourced | None, N("m/h", "Length done in an hour", least=0.05, most=2000)] = None
    count_pace: Annotated[Sourced | None, N("1/h", "Pieces done in an hour", least=0.01, most=5000)] = None
    time: Annotated[
        Sourced | None, N("h", "Time of one occasion, such as a day's setting up", least=0.01, most=100)
    ] = None
    notes: tuple[str, ...] = ()

    @property
    def pace(self) -> Sourced:
        """The one number it holds."""
        pace: Sourced = getattr(self, self._held[0])
        return pace

    @property
    def counted_by(self) -> CountedBy:
        """What the task is counted by."""
        return _PACES[self._held[0]]

    @property
    def _held(self) -> list[str]:
        return [name for name in _PACES if getattr(self, name) is not None]

    def conflicts(self) -> Iterator[Fault]:
        """See to it that a task is counted in one way."""
        if len(self._held) != 1:
            detail = f"it is counted by {' and '.join(self._held) or 'nothing'}"
            yield Fault(pointer="/area_pace", code="conflict", detail=detail, expected="one pace, or one time")
