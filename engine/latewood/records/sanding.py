"""How a trade sands: where it begins and ends, what a pass is worth, how fast it goes. A choice, with its sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Final, Literal, get_args

import msgspec

from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N, RecordLookup

Condition = Literal["faded-oil", "grey", "raised-grain", "splintered", "old-film"]

#: Kinds of surface by where they end: what is to be put on, and the wood or the hand that decides how fine.
ENDS: Final = ("penetrating-softwood", "penetrating-hardwood", "film", "rail", "end-grain")
GROUPS: Final = ("softwood", "hardwood")
SURFACES: Final = ("softwood", "hardwood", "film")
#: Parts sanded one by one, by their area.
PIECES: Final = ("end-grain", "guard", "fascia", "skirting", "lattice", "bench", "post")
WORKED: Final = ("field", "perimeter", "gap-faces", "stair", *PIECES)
CONDITIONS: Final[tuple[str, ...]] = get_args(Condition)
GAP_WORK: Final = ("ease-edges", "machine-profile", "hand", "rake")
#: Work that has a rate of its own: edges, steps, pieces, along gaps, and vacuuming gaps and floor.
TASKS: Final = ("perimeter", "stair", *PIECES, *GAP_WORK, "gaps", "floor")


class GradeRange(msgspec.Struct, frozen=True, kw_only=True):
    """Grades between a coarsest and a finest, and the one taken where all are in stock."""

    coarsest: Annotated[str, Ref("abrasive")]
    preferred: Annotated[str, Ref("abrasive")]
    finest: Annotated[str, Ref("abrasive")]
    source: Annotated[str, Ref("source")]
    where: str
    kind: RecordLookup


class SandingPractice(Record, frozen=True, kw_only=True):
    """One way of sanding decks, where practitioners differ; another pack may bring another."""

    KIND: ClassVar[str] = "sanding-practice"

    largest_ratio: Annotated[Sourced, N("%", "Largest step from a grade to the next", least=101, most=400)]
    start: Annotated[Mapping[str, Mapping[str, GradeRange]], "First grade, by condition and group of wood"]
    last: Annotated[Mapping[str, GradeRange], "Last grade, by what is put on and where"]
    machines: Annotated[Mapping[str, Annotated[str, Ref("machine")]], "Machine for each part"]

    reference_grade: Annotated[str, Ref("abrasive")]
    reference_orbit: Annotated[Sourced, N("mm", "Orbit under which the removal holds", least=0.5, most=20)]
    reference_speed: Annotated[Sourced, N("%", "Share of full speed at which it holds", least=1, most=100)]
    reference_density: Annotated[
        Mapping[str, Sourced], N("kg/m3", "Density of the wood it holds for", keys=(GROUPS,), least=100, most=1500)
    ]
    removal: Annotated[Sourced, N("um", "Depth one pass takes off softwood", least=1, most=5000)]
    hardwood_share: Annotated[Sourced, N("%", "Depth in hardwood beside softwood, same grade", least=1, most=200)]
    exponent: Annotated[
        Mapping[str, Sourced], N("%", "Power of the grain size by which the cut goes", keys=(GROUPS,), most=200)
    ]
    scratch_share: Annotated[Sourced, N("%", "Depth of a scratch as a share of the grain", least=1, most=100)]
    layers: Annotated[
        Mapping[str, Sourced],
        N("um", "Changed wood at 500 kg/m3, ridges and any film apart", keys=(CONDITIONS,), most=5000),
    ]
    ridges: Annotated[
        Mapping[str, Sourced],
        N("um", "Ridges at 500 kg/m3, where the condition has any", keys=(CONDITIONS,), most=5000),
    ] = {}
    ridge_share: Annotated[Sourced, N("%", "Share of the surface that ridges stand on", least=1, most=100)]
    film: Annotated[Sourced, N("um", "Thickness of an old film", least=1, most=5000)]
    uptake_grade: Annotated[str, Ref("abrasive")]
    life_gain: Annotated[Sourced, N("%", "Change of a finish's life for a change of its uptake", most=500)]

    disc_life: Annotated[
        Mapping[str, Sourced],
        N("m2", "Floor one round disc of 150 mm sands, one pass, first grade", keys=(SURFACES,), least=0.01, most=100),
    ]
    later_life: Annotated[Sourced, N("%", "The same with later grades, beside the first", least=10, most=1000)]
    mismatch: Annotated[Sourced, N("%", "Life left where holes of disc and pad do not match", least=1, most=100)]

    pad_gain: Annotated[Sourced, N("%", "Pace of a 150 mm pad beside one of 125 mm", least=100, most=300)]
    rates: Annotated[Mapping[str, Annotated[str, Ref("rate")]], "Rate of each task beside the open floor"]
    scuff_rates: Annotated[
        Mapping[str, Annotated[str, Ref("rate")]],
        "Rate of a scuff by part, where it is paced by reach and not by the layer it cuts",
    ] = {}
    trial: Annotated[tuple[str, ...], "How a trial patch is made and judged, in order"] = ()

    def conflicts(self) -> Iterator[Fault]:
        """Look for the tables' names, which their readers leave open."""
        wanted = {"start": CONDITIONS, "last": ENDS, "machines": WORKED, "rates": TASKS}
        for table, names in wanted.items():
            given = getattr(self, table)
            for name in given:
                if name not in names:
                    yield Fault(
                        pointer=f"/{table}/{name}",
                        code="unknown-field",
                        detail="this name is not known here",
                        expected="one of " + ", ".join(names),
                        nearest=nearest(name, names),
                    )
            for name in names:
                if name not in given:
                    yield Fault(pointer=f"/{table}/{name}", code="missing", detail="the entry is missing")
        for name in self.scuff_rates:
            if name not in PIECES:
                detail, expected = "this name is not known here", "one of " + ", ".join(PIECES)
                yield Fault(pointer=f"/scuff_rates/{name}", code="unknown-field", detail=detail, expected=expected)
        for name, groups in self.start.items():
            if set(groups) != set(GROUPS):
                yield Fault(
                    pointer=f"/start/{name}",
                    code="conflict",
                    detail=f"{', '.join(groups) or 'nothing'} is given",
                    expected="softwood and hardwood",
                )
