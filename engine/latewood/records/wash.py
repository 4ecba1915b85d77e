"""What old wood is washed with, and how hard it may be rinsed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from typing import Annotated, ClassVar, Final, Literal, get_args

import msgspec

from latewood.problems import Fault
from latewood.provenance import Severity, Sourced
from latewood.records.base import ID, Record, Treatment
from latewood.records.fields import Matching, Ref
from latewood.records.number import N, RecordLookup
from latewood.records.species import Species
from latewood.records.stated import Stated

Role = Literal["cleaner", "stripper", "brightener"]
Chemistry = Literal["detergent", "percarbonate", "hypochlorite", "hydroxide", "acid", "solvent"]
Reaction = Literal["alkaline", "neutral", "acid"]
Soil = Literal["grey", "dirt", "algae", "mildew", "iron-stain", "extractive-bleed", "oil", "film"]
Near = Literal["plants", "pond", "aluminium", "painted-surfaces", "glass", "stone", "neighbours"]

#: Which way each chemistry turns the wood; hypochlorite and percarbonate come in alkaline solutions.
REACTIONS: Final[Mapping[str, Reaction]] = {
    "detergent": "neutral",
    "percarbonate": "alkaline",
    "hypochlorite": "alkaline",
    "hydroxide": "alkaline",
    "acid": "acid",
    "solvent": "neutral",
}

#: What a chemistry acts as on wood that holds arsenic. A detergent and a solvent act as none of these.
Act = Literal["acid", "oxidiser", "caustic"]
ACTS: Final[Mapping[str, tuple[Act, ...]]] = {
    "percarbonate": ("oxidiser",),
    "hypochlorite": ("oxidiser",),
    "hydroxide": ("caustic",),
    "acid": ("acid",),
}

Recipe = Literal["strength", "dwell", "coverage", "rinse_depth"]
RECIPE: Final[tuple[Recipe, ...]] = get_args(Recipe)

#: Woods by how much pressure they bear.
PRESSURE_CLASSES: Final = ("dense-hardwood", "other")


class Effect(msgspec.Struct, frozen=True, kw_only=True):
    """Something the agent does besides cleaning, and to what: any one of what is named calls for it."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    severity: Severity
    message: str
    extractives: Annotated[
        tuple[Literal["iron-stain", "bleed", "alkali-colour", "oily-surface", "resin"], ...],
        "Extractives of a wood it acts on",
    ] = ()
    treatments: Annotated[tuple[Treatment, ...], "Preservatives it acts on"] = ()
    near: Annotated[tuple[Near, ...], "What stands near that it acts on"] = ()
    source: Annotated[str, Ref("source")]
    where: str = ""


class ActsAs(Stated, frozen=True, kw_only=True):
    """What an agent does to wood that holds arsenic, in words that go on after "and"."""

    id: Act
    message: str


class Restriction(msgspec.Struct, frozen=True, kw_only=True):
    """What the law of a region leaves of an agent for work on a deck."""

    region: Annotated[str, Ref("region")]
    users: Annotated[Literal["nobody", "certified"], "Whom it lets use the agent away from an industrial installation"]
    starts: Annotated[date, "First day it holds"]
    message: str
    source: Annotated[str, Ref("source")]
    where: str = ""
    kind: RecordLookup


class WashAgent(Record, frozen=True, kw_only=True):
    """A cleaner, stripper or brightener by its chemistry, never a product."""

    KIND: ClassVar[str] = "wash-agent"

    role: Role
    chemistry: Chemistry
    removes: Annotated[tuple[Soil, ...], "What it takes off"]
    strength: Annotated[
        Sourced | None, N("g/L", "Weight of the active substance in a litre ready to use", least=0.1, most=400)
    ] = None
    active: Annotated[
        Sourced | None, N("%", "Share of the active substance in the product as sold, by weight", least=1, most=100)
    ] = None
    stock_strength: Annotated[
        Sourced | None, N("g/L", "Weight of the active substance in a litre of a liquid as sold", least=1, most=1000)
    ] = None
    sold_at: Annotated[
        Mapping[str, Sourced],
        N("g/L", "The same in a region whose shops sell another, by the region's id", keys=(None,), least=1, most=1000),
    ] = {}
    densities: Annotated[
        Mapping[str, Sourced],
        N("kg/m3", "Density of its solutions, by percent of active substance by weight", keys=(None,), least=900),
    ] = {}
    label: Annotated[str, "What else a percentage on its label may mean, and where which is usual"] = ""
    dwell: Annotated[Sourced | None, N("min", "Time it acts, kept wet", least=0.5, most=120)] = None
    coverage: Annotated[Sourced | None, N("m2/L", "Area wetted by a litre ready to use", least=0.1, most=50)] = None
    rinse_depth: Annotated[
        Sourced | None, N("mm", "Water to rinse it off, litres on a square metre", least=0.5, most=100)
    ] = None
    neutraliser: Annotated[str | None, Ref("wash-agent"), "What brings the wood back to neutral after it"] = None
    turn: Annotated[int, "Turn in which it is tried where nobody names an agent; 0 where it has to be asked for"]
    acts_as: Annotated[
        tuple[ActsAs, ...], "What it acts as on wood that holds arsenic, beyond what its chemistry does"
    ] = ()
    effects: tuple[Effect, ...] = ()
    restrictions: tuple[Restriction, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def never_mixed(self) -> bool:
        """Whether it is kept to be warned of, and no recipe of it is given anywhere."""
        return self.chemistry == "solvent"

    def told(self, name: Recipe) -> Sourced:
        """Return a number of its recipe; only what is never mixed has none."""
        number: Sourced | None = getattr(self, name)
        if number is None:
            raise ValueError(f"{self.path} has no {name}")
        return number

    def stock_in(self, region: str | None) -> Sourced | None:
        """Return the strength of the liquid as a region sells it, that of any region where none is known."""
        return self.stock_strength if region is None else self.sold_at.get(region, self.stock_strength)

    @property
    def reaction(self) -> Reaction:
        """Which way it turns the wood."""
        return REACTIONS[self.chemistry]

    def colours(self, woods: Iterable[Species]) -> bool:
        """Say whether it changes the colour of one of these woods, more than an acid brings back."""
        noticed = {e.id for wood in woods for e in wood.extractives if e.level != "none-noticed"}
        return any(effect.severity != "note" and noticed & set(effect.extractives) for effect in self.effects)

    def conflicts(self) -> Iterator[Fault]:
        """See to it that a recipe is whole, and that a stripper says what brings the wood back."""
        yield from self._recipe()
        yield from self._solutions()
        if not self.never_mixed and (self.active is None) == (self.stock_strength is None):
            detail = "it is said neither or both to be weighed out and to be diluted"
            yield Fault(pointer="/active", code="conflict", detail=detail, expected="either active or stock_strength")
        if self.role == "stripper" and self.reaction == "alkaline" and self.neutraliser is None:
            detail = "an alkaline stripper left in the wood attacks the next coat"
            yield Fault(pointer="/neutraliser", code="missing", detail=detail, expected="an acid wash agent")
        for index, effect in enumerate(self.effects):
            if not (effect.extractives or effect.treatments or effect.near):
                detail = "nothing is named that it acts on"
                expected = "extractives, treatments or near"
                yield Fault(pointer=f"/effects/{index}", code="missing", detail=detail, expected=expected)

    def _recipe(self) -> Iterator[Fault]:
        for name in RECIPE:
            given = getattr(self, name) is not None
            if given and self.never_mixed:
                detail = "no recipe of a solvent stripper is given"
                yield Fault(pointer=f"/{name}", code="conflict", detail=detail, expected="no number")
            elif not given and not self.never_mixed:
                yield Fault(pointer=f"/{name}", code="missing", detail="the number is missing")
        if self.never_mixed and self.turn:
            detail = "it is never chosen unasked"
            yield Fault(pointer="/turn", code="conflict", detail=detail, expected="0")

    def _solutions(self) -> Iterator[Fault]:
        """See to it that densities stand under whole percentages, begin with water and rise."""
        wrong = [name for name in self.densities if not name.isdecimal() or int(name) > 100]
        for name in wrong:
            detail = "a density stands under a whole percentage by weight"
            yield Fault(pointer=f"/densities/{name}", code="unknown-field", detail=detail, expected="such as 0 or 12")
        if not self.densities or wrong:
            return
        rising = sorted(self.densities, key=int)
        if rising[0] != "0" or len(rising) < 2:
            detail = "the densities do not begin with water"
            yield Fault(pointer="/densities", code="missing", detail=detail, expected="0, and at least one more")
        weights = [int(name) * self.densities[name].si for name in rising]
        if weights != sorted(set(weights)):
            detail = "a litre of a stronger solution would hold no more"
            yield Fault(pointer="/densities", code="out-of-order", detail=detail, expected="rising weights in a litre")


class PressureRule(Record, frozen=True, kw_only=True):
    """A rule for washing under pressure. Sources disagree, so each is a rule of its own and an answer names the one."""

    KIND: ClassVar[str] = "pressure-rule"

    start: Annotated[
        Mapping[str, Sourced], N("psi", "Pressure to begin with", keys=(PRESSURE_CLASSES,), least=50, most=3000)
    ]
    ceiling: Annotated[
        Mapping[str, Sourced], N("psi", "Highest pressure", keys=(PRESSURE_CLASSES,), least=50, most=3000)
    ]
    damage: Annotated[Sourced, N("psi", "Damage is seen above this", least=100, most=5000)]
    erosion: Annotated[Sourced, N("psi", "The wood is worn away above this", least=100, most=5000)]
    fan_angle: Annotated[Sourced, N("deg", "Angle of the fan nozzle", least=5, most=90)]
    standoff: Annotated[Sourced, N("in", "Least distance from nozzle to wood", least=1, most=60)]
    notes: tuple[str, ...] = ()

    def conflicts(self) -> Iterator[Fault]:
        """See to it that no class is left out and that pressures rise from start to erosion."""
        for name in PRESSURE_CLASSES:
            missing = [table for table in ("start", "ceiling") if name not in getattr(self, table)]
            for table in missing:
                yield Fault(pointer=f"/{table}/{name}", code="missing", detail="the class has no pressure")
            if not missing:
                rising = (self.start[name].si, self.ceiling[name].si, self.erosion.si)
                if list(rising) != sorted(rising):
                    detail = "pressures do not rise from start over ceiling to erosion"
                    yield Fault(pointer=f"/ceiling/{name}", code="bad-range", detail=detail)
