"""What work leaves over, what it is kept in, and where it ends."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar

from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N


class Waste(Record, frozen=True, kw_only=True):
    """One kind of waste. None of it goes down a drain, and none into a bin to dry."""

    KIND: ClassVar[str] = "waste"

    container: Annotated[str, "What it is kept in until it is taken away, or that it is not caught"]
    container_size: Annotated[
        Sourced | None, N("L", "Room in one container; left out where it is not caught", least=0.1, most=2000)
    ] = None
    density: Annotated[Sourced, N("kg/m3", "Mass of a volume of it as it lies in the container", least=5, most=2500)]
    piece_mass: Annotated[Sourced | None, N("g", "Mass of one piece, where it is counted", least=0.1, most=1e5)] = None
    area_mass: Annotated[
        Sourced | None, N("g/m2", "Mass of a square metre, where it goes by area", least=0.1, most=1e5)
    ] = None
    with_hazard: Annotated[str | None, Ref("waste"), "What it is where lead or arsenic is not ruled out"] = None
    with_oil: Annotated[str | None, Ref("waste"), "What it is where it holds oil that heats itself"] = None
    ending: Annotated[tuple[str, ...], "Where it ends, each action by itself, in order"]

    def conflicts(self) -> Iterator[Fault]:
        """Look for a kind of waste that stands for itself, and for one whose end is not told."""
        for name in ("with_hazard", "with_oil"):
            if getattr(self, name) == self.id:
                yield Fault(
                    pointer=f"/{name}", code="conflict", detail="it names itself", expected="another record, or none"
                )
        if not self.ending:
            yield Fault(pointer="/ending", code="empty", detail="nothing is said of where it ends")
