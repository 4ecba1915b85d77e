"""What holds for one request: faces, rates, loss, containers on offer and limits, with the request's numbers in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from latewood.calculators.coverage.fields import Product
from latewood.declare import Formula
from latewood.messages import Clause, Concentration, Limit, Titled, Word, clause
from latewood.provenance import Sourced
from latewood.quantities.money import Money
from latewood.records import Pairing, Species, VocLimits
from latewood.records.coating import Surface
from latewood.records.voc_limits import Carrier, Divides
from latewood.rules import law
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
    pairing: Pairing | None
    side: Side | None
    uptake: Number
    item: str | None

    @cached_property
    def key(self) -> Key:
        """What decides how it takes the coating."""
        pairing = "" if self.pairing is None else self.pairing.id
        quantiles = spread.low(self.uptake), spread.value(self.uptake), spread.high(self.uptake)
        return self.absorbency, self.surface, pairing, quantiles

    @property
    def changed(self) -> bool:
        """Whether it takes up more or less than the wood its rate holds for."""
        return self.key[-1] != (1.0, 1.0, 1.0)

    @property
    def label(self) -> str:
        """Its name: zone and part, and the item where there are several."""
        return f"{self.zone}-{self.part}" + (f"-{self.item}" if self.item else "")


@dataclass(frozen=True)
class FaceGroup:
    """All faces that take the coating alike, with the rate stated for their first coat and the share wiped off.

    Where the rate follows from the film, it is the dry film that is stated. ``woods`` are the relative rates of this
    wood and of the one the rate holds for, where they differ. ``later`` is what a later coat takes of the first.
    """

    face: ResolvedFace
    area: float
    wiped: Number
    rate: Number
    by_film: bool
    basis: Literal["applied", "retained"]
    woods: Mapping[str, Number]
    later: Number | None


@dataclass(frozen=True)
class Offer:
    """A container that can be bought; ``usable`` is what comes out of it."""

    size: float
    fill: float | None
    usable: float
    price: Money | None


@dataclass(frozen=True)
class Resolved:
    """How the faces take the coating, what is lost of it, and the containers it is sold in.

    ``elsewhere`` are the containers of another likely market where the market had to be assumed, and
    ``other_confidence`` is another likely one where the confidence had to be.
    """

    faces: tuple[ResolvedFace, ...]
    groups: tuple[FaceGroup, ...]
    coats: int
    film: bool
    product: Product
    model: Callable[..., Number] | None
    loss: Number
    convention: Formula
    offers: tuple[Offer, ...]
    elsewhere: tuple[Offer, ...]
    confidence: float
    other_confidence: float | None
    on_hand: float


#: What is to be found out of a product, by what decides between limits.
@dataclass(frozen=True)
class Held:
    """One limit a product is held against, and the content on the basis of that rule once it is computed."""

    rule: VocLimits
    category: str
    number: Sourced
    highest: float
    basis: Literal["regulatory", "product"]
    carrier: Carrier | None
    #: What decides between this limit of the rule and others of it, where that is not said.
    open_by: Divides | None = None
    content: float | None = None
    turns_on_water: bool = False
    #: Whether the content keeps one of them and not another.
    turns_on_row: bool = False

    @property
    def named(self) -> Clause:
        """The limit by its rule and category."""
        return clause("look-up-limit", rule=Titled(self.rule), category=self.rule.category(self.category))

    @property
    def limit(self) -> Limit:
        """The limit as its rule states it."""
        return Limit(self.number.given, Concentration(self.highest))

    @property
    def shown(self) -> Clause:
        """The limit with its category and rule."""
        return clause("voc-limit", limit=self.limit, category=self.rule.category(self.category), rule=Titled(self.rule))

    @property
    def row(self) -> Clause:
        """The limit beside the others of its rule."""
        if self.carrier is None:
            return clause("voc-limit-of-category", limit=self.limit, category=self.rule.category(self.category))
        return clause("voc-limit-of-carrier", limit=self.limit, carrier=Word("carrier", self.carrier))

    @property
    def over(self) -> bool:
        """Whether the content is over the limit, and over the others it may have to keep."""
        return self.content is not None and self._settled and not law.keeps(self.content, self.highest)

    @property
    def kept(self) -> bool:
        """Whether the content keeps the limit, and the others it may have to keep."""
        return self.content is not None and self._settled and law.keeps(self.content, self.highest)

    @property
    def _settled(self) -> bool:
        return not self.turns_on_water and not self.turns_on_row

    @property
    def wanting(self) -> tuple[Clause, ...]:
        """What has to be known of the product before this limit can be held against it."""
        of, wanted = Titled(self.rule), []
        if self.content is None:
            wanted.append(clause("look-up-content"))
        if self.turns_on_water:
            wanted.append(clause("look-up-water-density", rule=of))
        if self.open_by is not None and (self.turns_on_row or self.content is None):
            wanted.append(clause("look-up-carrier" if self.open_by == "carrier" else "look-up-gloss", rule=of))
        return tuple(wanted)

    @property
    def read(self) -> bool:
        """Whether the limit was read in a text."""
        return law.was_read(self.number.evidence)


@dataclass(frozen=True)
class Limits:
    """The rules on VOC that hold there, their limits for this coating, and what would have to be looked up.

    ``every`` are the rules of all places. ``absent`` are stricter ones that may hold; ``unheld`` says what a rule
    without a limit for this coating and day leaves open.
    """

    product: Product
    water_density: float
    place: str | None
    rules: tuple[VocLimits, ...]
    held: tuple[Held, ...]
    absent: tuple[Clause, ...]
    unheld: tuple[Clause, ...]
    every: tuple[VocLimits, ...]
