"""What a sanding estimate goes by: faces with what was left out put in, and the practice they are sanded by."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from latewood.declare import RecordLookup
from latewood.messages import clause
from latewood.provenance import Ledger
from latewood.records import Coating, Condition, Erosion, Machine, Rate, SandingPractice, Species
from latewood.rules.faces import Part
from latewood.rules.sanding_work.abrasive_grades import Ladder, ladder_of
from latewood.rules.sanding_work.fields import DiscWear, SandPart, SandPatch, StockGrade
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: The practice taken where none is asked for.
PRACTICE: Final = "open-grain"


@dataclass(frozen=True)
class SandedFace:
    """One face to be sanded, in SI; ``place`` is where it stands among those given."""

    zone: str
    part: Part
    area: float
    length: float | None
    count: int | None
    species: Species | None
    group: str
    coating: Coating | None
    condition: Condition
    machine: Machine
    item: str | None = None
    place: int = 0
    choice: SandPart | None = None
    #: Whether trials hold for it: they were made on what was seen, and not on what a wash leaves.
    trials_hold: bool = True
    grooved: bool = False
    #: Whether the boards are cupped; None where it is not known.
    cupped: bool | None = None
    #: The machine that goes over it once more at the last grade, where its own leaves marks.
    blend: Machine | None = None

    @property
    def speed(self) -> float | None:
        """The share of its full speed the machine runs at, where it was given."""
        return None if self.choice is None else self.choice.speed_fraction

    @property
    def finisher(self) -> Machine:
        """The machine whose scratches are seen in the end."""
        return self.blend or self.machine

    @property
    def id(self) -> str:
        """Zone and part, and the item where there may be several."""
        return f"{self.zone}-{self.part}" + (f"-{self.item}" if self.item else "")

    @property
    def called(self) -> str:
        """What a fact is of: a floor is spoken of by its zone; what stands on it may be of another wood."""
        return self.zone if self.item is None else self.id

    @property
    def wood(self) -> tuple[str | None, str]:
        """What depths and passes go by of its wood."""
        return None if self.species is None else self.species.id, self.group

    @property
    def surface(self) -> str:
        """What the first grade works in: softwood, hardwood, or an old film on either."""
        return "film" if self.condition == "old-film" else self.group

    @property
    def penetrating(self) -> bool:
        """Whether what is to be put on goes into the wood; so if nothing is said."""
        return self.coating is None or not self.coating.film


@dataclass(frozen=True)
class Method:
    """A practice of sanding with the records it names, the grades there are, and what the caller says of all faces."""

    practice: SandingPractice
    ladder: Ladder
    largest_ratio: float
    rates: Mapping[str, Rate]
    machines: Mapping[str, Machine]
    erosion: Mapping[str, Erosion]
    choices: Mapping[str, SandPart]
    own_paces: Mapping[str, Number] = field(default_factory=dict)
    first_grade: str | None = None
    last_grade: str | None = None
    patches: tuple[SandPatch, ...] = ()
    wear: DiscWear | None = None
    #: Depth to sound wood where it was measured, and what is taken off beyond it.
    measured: Number | None = None
    flattening: float = 0.0
    years_bare: int | None = None

    def pace(self, rate: str, ledger: Ledger) -> Number:
        """Return the pace of a rate: the caller's own, else that of the record."""
        own = self.own_paces.get(rate)
        return ledger.take(self.rates[rate].pace) if own is None else own

    def task(self, name: str, ledger: Ledger) -> Number:
        """Return the pace of a task beside the open floor, in the unit the task is counted in."""
        return self.pace(self.practice.rates[name], ledger)

    def machine(self, part: Part) -> Machine:
        """Return the machine a part is sanded with: the one chosen, else the practice's."""
        choice = self.choices.get(part)
        return self.machines[part] if choice is None or choice.machine is None else choice.machine

    def blend(self, part: Part) -> Machine | None:
        """Return the machine that takes out the marks another leaves on a part at the last grade."""
        usual = self.machines[part]
        return usual if self.machine(part).leaves_marks and not usual.leaves_marks else None


def method_of(
    practice: SandingPractice | None,
    stock: tuple[StockGrade, ...],
    parts: Iterable[SandPart],
    known: RecordLookup,
    ledger: Ledger,
    *,
    largest_ratio: float | None = None,
    **said: Any,
) -> Method:
    """Return the practice asked for with all it names; practitioners disagree where to end, so the default is said.

    ``said`` is what the caller says of all faces.
    """
    found: SandingPractice = practice or known.record("sanding-practice", PRACTICE)
    if practice is None:
        ledger.default("practice", PRACTICE, effect=None, why=clause("ends-coarse"))
    erosion: dict[str, Erosion] = {}
    for table in known.records("erosion").values():
        erosion.setdefault(table.species, table)
    return Method(
        practice=found,
        ladder=ladder_of(stock, known.records("abrasive")),
        largest_ratio=largest_ratio or spread.central(ledger.take(found.largest_ratio)),
        rates=known.records("rate"),
        machines={part: known.record("machine", id) for part, id in found.machines.items()},
        erosion=erosion,
        choices={choice.part: choice for choice in parts},
        **said,
    )
