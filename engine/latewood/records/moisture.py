"""What is known of moisture apart from the woods: meters, limits, rules of thumb, what wets a deck, how it dries."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Annotated, ClassVar

import msgspec

from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.base import ID, Record
from latewood.records.coating import Binder, Coating
from latewood.records.fields import Matching, Ref
from latewood.records.number import N
from latewood.records.species import Absorbency


class MoistureMeter(Record, frozen=True, kw_only=True):
    """A kind of moisture meter: how far its readings can be trusted, and what shifts them."""

    KIND: ClassVar[str] = "moisture-meter"

    reads_from: Annotated[Sourced, N("%", "Least moisture content it can tell as a number", most=30)]
    reads_to: Annotated[Sourced, N("%", "Most moisture content it can tell as a number", least=10, most=60)]
    within: Annotated[Sourced, N("%", "How near the mean of corrected readings comes", least=0.1, most=10)]
    calibration_temperature: Annotated[
        Sourced | None, N("degC", "Temperature of the wood at which it reads right", least=0, most=40)
    ] = None
    temperature_step: Annotated[
        Sourced | None, N("%", "Percentage points to add for each 10 °F the wood is colder", most=3)
    ] = None
    treated_high: Annotated[
        Sourced | None, N("%", "Percentage points it reads high in wood with a waterborne preservative", most=10)
    ] = None
    corrects_from: Annotated[
        Sourced | None, N("degC", "Coldest wood a correction for temperature was made for", least=-40, most=30)
    ] = None
    corrects_to: Annotated[
        Sourced | None, N("degC", "Warmest wood a correction for temperature was made for", least=10, most=80)
    ] = None
    by_resistance: Annotated[bool, "Whether it goes by resistance, so that resistance tables and corrections hold"]


class CoatingLimit(msgspec.Struct, frozen=True, kw_only=True):
    """The highest moisture content for some coatings on some woods; what is left out matches any."""

    id: Annotated[str, Matching(ID.pattern, "small letters, digits and hyphens")]
    film: bool | None = None
    binders: tuple[Binder, ...] = ()
    absorbencies: tuple[Absorbency, ...] = ()
    limit: Annotated[Sourced, N("%", "Highest moisture content", least=5, most=30)]

    def fits(self, coating: Coating | None, absorbency: str | None) -> bool:
        """Say whether it speaks of this coating on this wood; unknown wood fits any, so that the first counts."""
        if coating is None:
            return self.film is None and not self.binders and not self.absorbencies
        return (
            self.film in (None, coating.film)
            and (not self.binders or coating.binder in self.binders)
            and (not self.absorbencies or absorbency is None or absorbency in self.absorbencies)
        )


class MoistureLimits(Record, frozen=True, kw_only=True):
    """A rule of how dry wood must be before it is coated. The first of its limits that fits counts."""

    KIND: ClassVar[str] = "moisture-limits"

    limits: tuple[CoatingLimit, ...]
    stop: Annotated[Sourced, N("%", "No coating of any kind above this", least=10, most=40)]

    def limit_for(self, coating: Coating | None, absorbency: str | None) -> Sourced:
        """Return the limit for a coating on wood of an absorbency, either perhaps not known."""
        return next(row.limit for row in self.limits if row.fits(coating, absorbency))

    def conflicts(self) -> Iterator[Fault]:
        """See to it that one limit fits whatever is left."""
        last = self.limits[-1] if self.limits else None
        if last is None or last.film is not None or last.binders or last.absorbencies:
            detail = "the last limit does not fit every coating"
            yield Fault(pointer="/limits", code="missing", detail=detail, expected="a last one without conditions")


class DropTestRule(Record, frozen=True, kw_only=True):
    """A rule of how soon a drop of water must soak in."""

    KIND: ClassVar[str] = "drop-test-rule"

    soak_time: Annotated[Sourced, N("s", "A drop that takes longer says wait", least=1, most=3600)]
    retest: Annotated[Sourced | None, N("d", "When to try again", least=1, most=100)] = None


class NewWoodWait(Record, frozen=True, kw_only=True):
    """A rule of how long new treated wood waits before it is coated."""

    KIND: ClassVar[str] = "new-wood-wait"

    wait: Annotated[
        Sourced | None, N("d", "Time since it was built in; left out where measuring decides", most=700)
    ] = None
    bead_wait: Annotated[
        Sourced | None, N("d", "Wait where water beads on it, before it is tested again", least=1, most=100)
    ] = None
    source: Annotated[str | None, Ref("source"), "Who says so, where there is no number to cite them for"] = None


class WettingKind(Record, frozen=True, kw_only=True):
    """Something that wets a deck."""

    KIND: ClassVar[str] = "wetting-kind"

    depths: Annotated[
        Mapping[str, Sourced],
        N("mm", "How far water goes in, by the state of the boards", keys=(("sound", "weathered"),), most=20),
    ] = {}
    water: Annotated[Sourced | None, N("kg/m2", "Water it brings, where that is little", least=0.001, most=50)] = None
    common_wait: Annotated[Sourced | None, N("d", "Wait afterwards by common practice", most=60)] = None


class DryingModel(Record, frozen=True, kw_only=True):
    """The numbers of the model of drying that no formula brings."""

    KIND: ClassVar[str] = "drying-model"

    diffusivity_factor: Annotated[
        Sourced, N("%", "Measured diffusivities over those of the formula", least=5, most=2000)
    ]
    coldest: Annotated[Sourced, N("degC", "Mean temperature below which the model is less sure", least=-20, most=30)]
    wettest: Annotated[Sourced, N("%", "Moisture content above which the model is less sure", least=15, most=60)]
    widening: Annotated[Sourced, N(None, "By how much the span of diffusivities is wider there", least=1, most=5)]
    trap: Annotated[Sourced, N("mm", "Gaps as narrow as this keep boards wet", most=10)]
    heat_transfer: Annotated[
        Sourced, N("W/m2/K", "Exchange of heat with the air where no wind is given", least=1, most=50)
    ]
    roofed_wind: Annotated[Sourced, N("%", "Wind under a roof as a share of that in the open", least=1, most=100)]
    rain_chance: Annotated[Sourced, N("%", "Chance of rain from which rain is reckoned with", least=1, most=100)]
    outer_depth: Annotated[Sourced, N("mm", "Depth whose mean is compared with a reading", least=1, most=30)]
    film: Annotated[Sourced, N("kg/m2", "Water that stays on the boards after rain", least=0.001, most=2)]
    thickness: Annotated[Sourced, N("mm", "Thickness of boards where none is given", least=5, most=100)]
    filled: Annotated[
        Mapping[str, Sourced],
        N("%", "What wetting fills wood to, by basic density in kg/m3", keys=(None,), least=28, most=300),
    ]


class ReadingPractice(Record, frozen=True, kw_only=True):
    """How readings are taken and judged: how many, how long they stand, and which say that something is wrong."""

    KIND: ClassVar[str] = "reading-practice"

    few: Annotated[Sourced, N(None, "Readings a small zone begins with", least=1, most=20)]
    some: Annotated[Sourced, N(None, "Readings a large or mixed zone begins with", least=1, most=20)]
    most: Annotated[Sourced, N(None, "Readings beyond which waiting is cheaper", least=1, most=50)]
    large: Annotated[Sourced, N("m2", "Area above which a zone is large", least=1, most=1000)]
    near: Annotated[Sourced, N("%", "Points from the limit within which the scatter decides how many", most=10)]
    implausible: Annotated[Sourced, N("%", "Points below what the weather gives, beyond which it is wrong", most=20)]
    unexplained: Annotated[
        Sourced, N("%", "Points above what the weather gives, beyond which water is sought", most=30)
    ]
    outlier: Annotated[Sourced, N("%", "Points above its neighbours, beyond which a board is wet", most=20)]
    scatter: Annotated[Sourced, N(None, "Robust standard deviations it must lie above them too", most=10)]
    stands: Annotated[Sourced, N("h", "How long a reading stands for the boards", least=1, most=720)]


class GapRule(Record, frozen=True, kw_only=True):
    """A rule of how narrow and how wide the gap between boards may get."""

    KIND: ClassVar[str] = "gap-rule"

    least: Annotated[Sourced, N("mm", "Narrowest gap that still drains", most=20)]
    most: Annotated[Sourced, N("mm", "Widest gap", least=1, most=50)]
    variation: Annotated[
        Sourced | None,
        N("%", "Standard deviation of what boards of one wood shrink, as a share of their mean", most=50),
    ] = None
