"""How a trade treats the fasteners of a floor before it is sanded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N

#: Tasks with a rate of their own: looking at every head, treating a nail or a screw, putting in another.
TASKS: Final = ("inspect", "nail", "screw", "replace")


class FastenerPractice(Record, frozen=True, kw_only=True):
    """What is taken for granted where no one has looked: how many stand proud, how deep to set them, at what pace."""

    KIND: ClassVar[str] = "fastener-practice"

    share_proud: Annotated[Sourced, N("%", "Heads that stand proud or too high", most=100)]
    share_loose: Annotated[Sourced, N("%", "Of those set, the ones that come loose again and are replaced", most=100)]
    share_staining: Annotated[
        Sourced, N("%", "Heads that rust, stain or are loose, where such are seen: they are replaced", most=100)
    ]
    area_per_fastener: Annotated[Sourced, N("cm2", "Floor that one fastener holds, where nobody counted", least=20)]
    clearance: Annotated[Sourced, N("mm", "Depth of a head below the sanded surface", most=20)]
    least_depth: Annotated[
        Sourced | None, N("mm", "Depth below today's surface that a head is set at all events", most=20)
    ] = None
    bored_from: Annotated[
        Sourced, N("kg/m3", "Density from which wood is bored before a fastener goes in", least=100, most=1500)
    ]
    rates: Annotated[Mapping[str, Annotated[str, Ref("rate")]], "Rate of each task"]

    def conflicts(self) -> Iterator[Fault]:
        """Look for the names of tasks, which their reader leaves open."""
        for name in self.rates:
            if name not in TASKS:
                detail = "this name is not known here"
                one_of = "one of " + ", ".join(TASKS)
                close = nearest(name, TASKS)
                yield Fault(
                    pointer=f"/rates/{name}", code="unknown-field", detail=detail, expected=one_of, nearest=close
                )
        for name in TASKS:
            if name not in self.rates:
                yield Fault(pointer=f"/rates/{name}", code="missing", detail="the entry is missing")
