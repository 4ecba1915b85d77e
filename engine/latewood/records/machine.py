"""Sanders, by what decides their work: how the abrasive moves, its form and size, where it goes, what it may do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

import msgspec

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import ID, Record
from latewood.records.fields import Matching, Ref
from latewood.records.number import N
from latewood.records.sanding import SURFACES, WORKED

Motion = Literal["random-orbit", "geared-orbit", "straight-orbit", "linear", "belt", "drum", "hand"]
#: What the abrasive is sold and counted as.
AbrasiveForm = Literal["disc", "sheet", "belt"]

#: Surfaces whose pace differs with the first grade, and the later grades, which all go alike.
PACED = (*SURFACES, "later")


class Risk(msgspec.Struct, frozen=True, kw_only=True):
    """What a machine may do to the wood, its abrasive or its user. What is left out matches any work with it."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    severity: Literal["note", "warning", "stop"]
    message: Annotated[str, "What may happen, and what to do; a stop keeps the machine off the part"]
    surfaces: Annotated[tuple[Literal["softwood", "hardwood", "film"], ...], "Surfaces it happens on"] = ()
    cupped: Annotated[bool, "Whether it happens on cupped boards alone"] = False
    source: Annotated[str, Ref("source")]
    where: str = ""


class Machine(Record, frozen=True, kw_only=True):
    """A kind of sander, never a product."""

    KIND: ClassVar[str] = "machine"

    motion: Annotated[Motion, "How the abrasive moves over the wood"]
    abrasive: Annotated[AbrasiveForm, "What its abrasive is sold and counted as"]
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
    vibration: Annotated[
        Sourced | None, N("m/s2", "Vibration at the hand at work, not as declared; none by hand", most=50)
    ] = None
    holes: Annotated[int, "Holes for dust in the pad; 0 for none"] = 0
    pace: Annotated[Mapping[str, Annotated[str, Ref("rate")]], "Rate over open floor, one pass of one grade"] = {}
    suits: Annotated[tuple[str, ...], "Parts of a deck it can work; any part where none is named"] = ()
    set_below: Annotated[
        Sourced | None, N("mm", "How deep heads lie below the surface before it may go over them", most=20)
    ] = None
    leaves_marks: Annotated[bool, "Whether the part's usual machine takes its marks out at the last grade"] = False
    risks: tuple[Risk, ...] = ()

    @property
    def powered(self) -> bool:
        """Whether it runs by a motor."""
        return self.motion != "hand"

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
        for index, part in enumerate(self.suits):
            if part not in WORKED:
                yield Fault(
                    pointer=f"/suits/{index}",
                    code="unknown-choice",
                    detail=f"{part!r} is no part of a deck that is sanded",
                    expected="one of " + ", ".join(WORKED),
                    nearest=nearest(part, WORKED),
                )
        if (self.diameter is None) == (self.abrasive_area is None):
            detail = "the area of abrasive is not known" if self.diameter is None else "the area is known twice"
            yield Fault(
                pointer="/abrasive_area", code="conflict", detail=detail, expected="either diameter or abrasive_area"
            )
        if (self.orbit is None) == (self.cut is None):
            detail = "the cut is not known" if self.orbit is None else "the cut is known twice"
            yield Fault(pointer="/cut", code="conflict", detail=detail, expected="either orbit or cut")
