"""What a sanding estimate goes by: faces with what was left out put in, and the practice they are sanded by."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from latewood.records import Coating, Condition, Erosion, Machine, Rate, SandingPractice, Species
from latewood.rules.faces import Part
from latewood.rules.sanding_work.abrasive_grades import Ladder
from latewood.rules.sanding_work.fields import DiscWear, SandPart, SandPatch
from latewood.uncertainty.spread import Number


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
    #: Depth to sound wood where it was measured, and what is taken off beyond it.
    measured: Number | None = None
    flattening: float = 0.0
    years_bare: int | None = None
    erosion: Erosion | None = None
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
    field_machine: Machine
    first_grade: str | None = None
    last_grade: str | None = None
    patches: tuple[SandPatch, ...] = ()
    wear: DiscWear | None = None
