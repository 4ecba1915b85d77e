"""Rules that limit the solvent in coatings: their numbers, who they bind, and who may be stricter."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar, Literal

import msgspec

from latewood.messages import Prose
from latewood.problems import Fault, nearest
from latewood.provenance import Sourced
from latewood.records.base import Jurisdiction, Record, covers
from latewood.records.fields import Ref
from latewood.records.number import Dated, N
from latewood.records.stated import Stated

Carrier = Literal["water", "solvent"]
Gloss = Literal["flat", "nonflat", "high-gloss"]
#: What of a product decides which of several limits holds for it.
Divides = Literal["carrier", "gloss"]


class ByCarrier(msgspec.Struct, frozen=True, kw_only=True):
    """The two categories of a rule that sets one limit for water-borne coatings and another for solvent-borne ones."""

    water: Annotated[str, "Category of what is thinned with water"]
    solvent: Annotated[str, "Category of what is thinned with solvent"]


class ByGloss(msgspec.Struct, frozen=True, kw_only=True):
    """The categories of a rule that sets one limit for flat coatings and others for glossier ones."""

    flat: Annotated[str, "Category of flat coatings"]
    nonflat: Annotated[str, "Category of coatings that are neither flat nor of high gloss"]
    high_gloss: Annotated[str, "Category of coatings of high gloss"]


class Applying(Stated, frozen=True, kw_only=True):
    """Whether a rule binds the person who applies a coating, and where it says so."""

    bound: Annotated[bool, "Whether it binds the person who applies the coating, not only who makes or sells it"]


class PartRule(Stated, frozen=True, kw_only=True):
    """A rule of a part that is not among the records, so that it can be named."""

    jurisdictions: Annotated[tuple[Jurisdiction, ...], "ISO 3166 codes of the parts"]
    title: Annotated[str, "The rule, as it is cited"]


class Stricter(Stated, frozen=True, kw_only=True):
    """Whether a state, district or member may have a stricter rule of its own."""

    parts: Annotated[Literal["may", "may-not"], "May where a part, or an amendment not read, may set a lower limit"]
    look_up: Annotated[str, "What to look up for a part whose rule is not named below"] = ""
    rules: Annotated[tuple[PartRule, ...], "Rules of parts that are not among the records"] = ()


class VocLimits(Record, frozen=True, kw_only=True):
    """A rule that limits the solvent in coatings put on sale or applied."""

    KIND: ClassVar[str] = "voc-limits"

    jurisdictions: Annotated[tuple[Jurisdiction, ...], "ISO 3166 codes of the places it is law in"]
    rule: Annotated[str | None, Ref("source"), "The rule itself, where its numbers were read elsewhere"] = None
    automatic: Annotated[bool, "False where it is law in a part no ISO code names, so that it must be asked for"]
    stricter: Annotated[Stricter | None, "Left out, a part may be stricter"] = None
    applying: Annotated[Applying | None, "Left out where it is not known"] = None
    basis: Annotated[
        Literal["regulatory", "product"], "Mass per volume of coating less water and exempt compounds, or of coating"
    ]
    limits: Annotated[
        Mapping[str, Dated],
        N("g/L", "Highest VOC content by category and date", keys=(None,), dated=True, most=2000),
    ]
    categories: Annotated[Mapping[str, str], "What each category takes in, in words"] = {}
    by_carrier: Annotated[Mapping[str, ByCarrier], "Categories that the carrier of the product splits in two"] = {}
    by_gloss: Annotated[Mapping[str, ByGloss], "Categories that the gloss of the product splits"] = {}
    scheme: Annotated[str, "Name of the categories, where several rules share them; its id if left out"] = ""
    small_container: Annotated[
        Sourced | None, N("L", "Containers of this volume or less are exempt", least=0.01, most=20)
    ] = None
    low_solids: Annotated[
        Sourced | None, N("g/L", "With less solids than this a coating is judged by its whole volume", most=1000)
    ] = None
    low_solids_category: Annotated[
        Mapping[str, str], "The category whose limit holds for a coating of so few solids, by its own category"
    ] = {}
    notes: tuple[str, ...] = ()

    def covers(self, jurisdiction: str) -> bool:
        """Say whether it is law in a place, given by its ISO 3166 code."""
        return covers(self.jurisdictions, jurisdiction)

    def rows(
        self, category: str, carrier: Carrier | None, gloss: Gloss | None = None
    ) -> tuple[tuple[str, Carrier | None], ...]:
        """Return the categories whose limits a product may have to keep: several where what decides is not said.

        Each comes with the carrier it holds for. Nothing where the rule has no such category.
        """
        if (shades := self.by_gloss.get(category)) is not None:
            by_name = {"flat": shades.flat, "nonflat": shades.nonflat, "high-gloss": shades.high_gloss}
            found = by_name.values() if gloss is None else (by_name[gloss],)
            return tuple((name, None) for name in dict.fromkeys(found))
        split = self.by_carrier.get(category)
        if split is None:
            return ((category, None),) if category in self.limits else ()
        both: tuple[tuple[str, Carrier], ...] = ((split.water, "water"), (split.solvent, "solvent"))
        return tuple(row for row in both if carrier in (None, row[1]))

    def divides(self, category: str) -> Divides | None:
        """Return what of a product decides between the limits of a category; None where there is one for all."""
        return "gloss" if category in self.by_gloss else "carrier" if category in self.by_carrier else None

    def category(self, id: str) -> Prose:
        """Return what a category takes in, in words."""
        return self.prose(self.categories.get(id, id), "categories", id)

    @property
    def categories_of(self) -> str:
        """The name coatings give their category under."""
        return self.scheme or self.id

    def conflicts(self) -> Iterator[Fault]:
        """Hold categories against limits, and what may be stricter against what is to be looked up."""
        for category, few in self.low_solids_category.items():
            for name in (category, few):
                if name not in self.limits:
                    detail = f"there is no limit for {name!r}"
                    close = nearest(name, self.limits)
                    at = f"/low_solids_category/{category}"
                    yield Fault(pointer=at, code="unknown-choice", detail=detail, expected="a category", nearest=close)
        for category, split in self.by_carrier.items():
            for carrier, name in (("water", split.water), ("solvent", split.solvent)):
                if name not in self.limits:
                    detail = f"there is no limit for {name!r}"
                    close = nearest(name, self.limits)
                    at = f"/by_carrier/{category}/{carrier}"
                    yield Fault(pointer=at, code="unknown-choice", detail=detail, expected="a category", nearest=close)
        for category, shades in self.by_gloss.items():
            for shade, name in msgspec.structs.asdict(shades).items():
                if name not in self.limits:
                    detail = f"there is no limit for {name!r}"
                    close = nearest(name, self.limits)
                    at = f"/by_gloss/{category}/{shade}"
                    yield Fault(pointer=at, code="unknown-choice", detail=detail, expected="a category", nearest=close)
            if category in self.by_carrier:
                detail = f"{category} is divided by carrier and by gloss"
                yield Fault(pointer=f"/by_gloss/{category}", code="conflict", detail=detail, expected="one of the two")
        if self.stricter is not None and self.stricter.parts == "may" and not self.stricter.look_up:
            detail = "a part may be stricter, and what to look up is not said"
            expected = "such as the rule of the state"
            yield Fault(pointer="/stricter/look_up", code="missing", detail=detail, expected=expected)
        if self.stricter is not None and self.stricter.parts == "may-not" and self.stricter.rules:
            detail = "rules of parts are named, and none may be stricter"
            yield Fault(pointer="/stricter/rules", code="conflict", detail=detail, expected='parts = "may"')
