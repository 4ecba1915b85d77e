"""How a flooded coat is laid and wiped: in one coat, or in two, the second on the wet first."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N

#: Tasks with a pace of their own: laying a field, wiping it, cutting in along edges, brushing coating into gaps.
WIPING_TASKS: Final = ("lay", "wipe", "cut-in", "gap")


class WipingRegime(Record, frozen=True, kw_only=True):
    """The order of laying and wiping, and what is taken for granted of those who do it."""

    KIND: ClassVar[str] = "wiping-regime"

    wet_on_wet: Annotated[bool, "Whether a second coat goes on the first while that is wet"]
    wipe: Annotated[
        Sourced | None, N("min", "At 23 °C, from the last coat to wiping, of families that say nothing", most=240)
    ] = None
    longest: Annotated[Sourced | None, N("min", "Longest time to wiping of the same, however cold", most=480)] = None
    tolerance: Annotated[Sourced, N("%", "How much later than a time given as one figure", most=50)]
    arm_reach: Annotated[Sourced, N("m", "Width of wet boards somebody reaches across", least=0.05, most=10)]
    long_reach: Annotated[Sourced, N("m", "The same with a pad on a pole", least=0.05, most=10)]
    turn_time: Annotated[Sourced, N("min", "From the end of one task to the start of the next", most=60)]
    cloth_area: Annotated[Sourced, N("m2", "Area one cloth wipes", least=0.05, most=100)]
    cloth_volume: Annotated[Sourced, N("L", "Coating laid on for which one cloth is wanted", least=0.01, most=20)]
    rates: Annotated[Mapping[str, Annotated[str, Ref("rate")]], "Rate of each task"]

    def conflicts(self) -> Iterator[Fault]:
        """Look for the names of tasks, which their reader leaves open."""
        for name in self.rates:
            if name not in WIPING_TASKS:
                detail = "this name is not known here"
                one_of = "one of " + ", ".join(WIPING_TASKS)
                close = nearest(name, WIPING_TASKS)
                yield Fault(
                    pointer=f"/rates/{name}", code="unknown-field", detail=detail, expected=one_of, nearest=close
                )
        for name in WIPING_TASKS:
            if name not in self.rates:
                yield Fault(pointer=f"/rates/{name}", code="missing", detail="the entry is missing")
