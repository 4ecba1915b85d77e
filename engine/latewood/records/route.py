"""Ways of getting an old surface off: which steps in which order, and what they leave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final, Literal

import msgspec

from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.base import ID, Record
from latewood.records.fields import Matching, Ref
from latewood.records.number import N

Old = Literal["bare", "oil", "film"]
Does = Literal["wash", "hand-wash", "strip", "neutralise", "sand", "scuff", "vacuum"]

#: What a route is done on: floors, and what stands on them. Stairs are walked on, and go as their floor does.
Serves = Literal["boards", "guard", "fascia", "skirting", "bench", "post"]

Layer = Literal["seen", "none", "faded-oil", "grey", "raised-grain", "splintered", "old-film"]

#: Steps that wet the wood, and steps a machine sands dry wood in.
WETS: Final[frozenset[Does]] = frozenset({"wash", "hand-wash", "strip", "neutralise"})
SANDS: Final[frozenset[Does]] = frozenset({"sand", "scuff"})
#: Surfaces a pace may differ by.
PACED: Final = ("any", "softwood", "hardwood", "film")


class RouteStep(msgspec.Struct, frozen=True, kw_only=True):
    """One step of a route."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    does: Does
    why: Annotated[str, "What it is for, and why here"]
    rate: Annotated[
        Mapping[str, Annotated[str, Ref("rate")]],
        "Its rate: any, or by softwood, hardwood and film; none for sanding, whose paces are the machine's",
    ] = {}
    layer: Annotated[Layer, "Layer it takes off: by what is seen, or of a kind by name"] = "none"


class Route(Record, frozen=True, kw_only=True):
    """One way of preparing an old surface. No route wets the wood after the last sanding."""

    KIND: ClassVar[str] = "route"

    suits: Annotated[tuple[Old, ...], "What it can be used on: bare wood, old oil, old film"]
    serves: Annotated[tuple[Serves, ...], "Parts it is done on"] = ("boards",)
    steps: tuple[RouteStep, ...]
    leaves: Annotated[
        tuple[Literal["grey", "film", "fur", "shadow-patches"], ...], "What is still there when it is done"
    ] = ()
    least_dry: Annotated[
        Sourced | None, N("h", "Least time between the last wetting and sanding", least=0, most=500)
    ] = None
    sand_at: Annotated[
        Sourced | None, N("%", "Moisture content above which discs clog and fur comes back", least=10, most=30)
    ] = None
    last_resort: Annotated[bool, "Whether it is taken only where every other is ruled out"] = False
    notes: tuple[str, ...] = ()

    @property
    def wets(self) -> bool:
        """Whether it wets the wood."""
        return any(step.does in WETS for step in self.steps)

    @property
    def sands(self) -> bool:
        """Whether a machine sands."""
        return any(step.does in SANDS for step in self.steps)

    @property
    def takes_film_off(self) -> bool:
        """Whether a film on the wood is gone when it is done."""
        return "film" in self.suits and "film" not in self.leaves

    def conflicts(self) -> Iterator[Fault]:
        """Refuse a wash after the final sanding, a wash without its drying time, and a pace without its surfaces."""
        kinds = [step.does for step in self.steps]
        last = max((index for index, does in enumerate(kinds) if does in SANDS), default=len(kinds))
        for index, does in enumerate(kinds):
            if does in WETS and index > last:
                detail = "the wood is wetted after the final sanding, which raises the grain again"
                yield Fault(pointer=f"/steps/{index}/does", code="conflict", detail=detail, expected="sanding last")
        if self.wets and self.sands:
            for name, such in (("least_dry", "at least the night between"), ("sand_at", "such as 20 %")):
                if getattr(self, name) is None:
                    detail = f"it wets the wood and sands it, and {name} is not given"
                    yield Fault(pointer=f"/{name}", code="missing", detail=detail, expected=such)
        for index, step in enumerate(self.steps):
            wrong = [name for name in step.rate if name not in PACED]
            complete = (
                (step.does in SANDS and not step.rate)
                or "any" in step.rate
                or {"softwood", "hardwood"} <= set(step.rate)
            )
            if wrong or not complete:
                detail = f"{', '.join(wrong)} is no surface" if wrong else "some surfaces have no rate"
                expected = "any, or softwood and hardwood, and film beside them"
                yield Fault(pointer=f"/steps/{index}/rate", code="conflict", detail=detail, expected=expected)
