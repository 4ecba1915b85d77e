"""A product held against one limit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from latewood.provenance import Sourced
from latewood.records import VocLimits
from latewood.records.voc_limits import Carrier
from latewood.rules import law


@dataclass(frozen=True)
class Held:
    """One limit a product is held against, and the content on the basis of that rule."""

    rule: VocLimits
    category: str
    number: Sourced
    highest: float
    basis: Literal["regulatory", "product"]
    content: float | None
    turns_on_water: bool
    carrier: Carrier | None = None
    #: Whether the rule has another limit for the other carrier, and which of them holds is not said.
    carrier_open: bool = False
    #: Whether the content keeps one of the two and not the other.
    turns_on_carrier: bool = False

    @property
    def shown(self) -> str:
        """The limit with its category and rule."""
        return f"{self.highest:g} g/L ({self.category}, {self.rule.title})"

    @property
    def over(self) -> bool:
        """Whether the content is over the limit, and over that for the other carrier where it is not said."""
        return self.content is not None and self._settled and not law.keeps(self.content, self.highest)

    @property
    def kept(self) -> bool:
        """Whether the content keeps the limit, and that for the other carrier where it is not said."""
        return self.content is not None and self._settled and law.keeps(self.content, self.highest)

    @property
    def _settled(self) -> bool:
        return not self.turns_on_water and not self.turns_on_carrier

    @property
    def wanting(self) -> tuple[str, ...]:
        """What has to be known of the product before this limit can be held against it."""
        of = self.rule.title
        every = {
            "the product's VOC content, on its data sheet": self.content is None,
            f"the density that {of} counts water with": self.turns_on_water,
            f"whether water or solvent carries the product: {of} limits each": self.turns_on_carrier
            or (self.carrier_open and self.content is None),
        }
        return tuple(what for what, wanted in every.items() if wanted)

    @property
    def read(self) -> bool:
        """Whether the limit was read in a text."""
        return law.was_read(self.number.evidence)
