"""Faces with wood and surface settled, and groups of faces that take the coating alike."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.records import Pairing, Species
from latewood.records.coating import Surface
from latewood.rules.faces import Part, Side
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Absorbency, surface, the id of the pairing that holds for the very species, if any, and the quantiles of the uptake:
#: faces alike in these take the coating alike.
Key = tuple[str, Surface, str, tuple[float, float, float]]


@dataclass(frozen=True)
class ResolvedFace:
    """One face with its wood and its surface settled."""

    zone: str
    part: Part
    area: float
    absorbency: str
    surface: Surface
    species: Species | None
    pairing: Pairing | None = None
    side: Side | None = None
    uptake: Number = 1.0
    item: str | None = None

    @property
    def key(self) -> Key:
        """What decides how it takes the coating."""
        pairing = "" if self.pairing is None else self.pairing.id
        return self.absorbency, self.surface, pairing, quantiles(self.uptake)

    @property
    def label(self) -> str:
        """Its name: zone and part, and the item where there are several."""
        return f"{self.zone}-{self.part}" + (f"-{self.item}" if self.item else "")


@dataclass(frozen=True)
class FaceGroup:
    """All faces that take the coating alike: the volume laid on by each coat, and the share wiped off."""

    key: Key
    area: float
    volumes: tuple[Number, ...]
    wiped: Number

    @property
    def applied(self) -> Number:
        """The volume laid on by all coats."""
        return spread.total(self.volumes)


def quantiles(uptake: Number) -> tuple[float, float, float]:
    """Return what tells one uptake from another; the quantities themselves refuse to be compared."""
    return spread.low(uptake), spread.value(uptake), spread.high(uptake)
