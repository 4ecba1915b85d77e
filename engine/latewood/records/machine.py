"""Sanders, by what decides their work: how the pad moves, how large it is, how it draws off dust."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N

Motion = Literal["random-orbit", "geared-orbit", "straight-orbit", "linear", "hand"]

#: Surfaces whose pace differs with the first grade, and the later grades, which all go alike.
PACED = ("softwood", "hardwood", "film", "later")


class Machine(Record, frozen=True, kw_only=True):
    """A kind of sander, never a product."""

    KIND: ClassVar[str] = "machine"

    motion: Annotated[Motion, "How the abrasive moves over the wood"]
    pad: Annotated[Literal["flat", "profile"], "A flat pad reaches no groove; a profile is shaped to the edge it works"]
    diameter: Annotated[Sourced | None, N("mm", "Diameter of a round pad", least=50, most=600)] = None
    abrasive_area: Annotated[
        Sourced | None, N("cm2", "Area of abrasive on a pad that is not round", least=5, most=5000)
    ] = None
    orbit: Annotated[Sourced | None, N("mm", "Diameter of the orbit", least=0.5, most=20)] = None
    cut: Annotated[
        Sourced | None,
        N("%", "Depth of one pass beside the reference machine, where no orbit tells", least=1, most=500),
    ] = None
    holes: Annotated[int, "Holes for dust in the pad; 0 for none"] = 0
    pace: Annotated[Mapping[str, Annotated[str, Ref("rate")]], "Rate over open floor, one pass of one grade"] = {}

    def conflicts(self) -> Iterator[Fault]:
        """See to it that both the pad's area and its cut are known, and that rates stand under names that are."""
        for name in self.pace:
            if name not in PACED:
                detail = "this name is not known here"
                yield Fault(
                    pointer=f"/pace/{name}",
                    code="unknown-field",
                    detail=detail,
                    expected="one of " + ", ".join(PACED),
                    nearest=nearest(name, PACED),
                )
        if (self.diameter is None) == (self.abrasive_area is None):
            detail = "the area of abrasive is not known" if self.diameter is None else "the area is known twice"
            yield Fault(
                pointer="/abrasive_area", code="conflict", detail=detail, expected="either diameter or abrasive_area"
            )
        if (self.orbit is None) == (self.cut is None):
            detail = "the cut is not known" if self.orbit is None else "the cut is known twice"
            yield Fault(pointer="/cut", code="conflict", detail=detail, expected="either orbit or cut")
