"""What holds for one request: weather, boards, coating, work and limits, in SI."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from latewood.calculators.cure_windows.fields import ShadeSpell, WorkShift, WorkStep
from latewood.provenance import Ledger, Sourced
from latewood.records import Coating
from latewood.rules.old_and_new_finish import Pair
from latewood.weather import Exposure, Face, Hours, Place, face_of
from latewood.weather.face import Rule, Slab
from latewood.weather.hours import Array

Span = tuple[float, float]


@dataclass(frozen=True, kw_only=True)
class Family:
    """A coating as the weather meets it. SI; a span is the shorter and the longer figure.

    ``coats`` is how many the regime lays where the family usually lays another number.
    """

    limits: Mapping[str, float]
    stages: Mapping[str, Span]
    wipe: Span | None
    longest_wipe: float
    second_coat: Span | None
    bare_open: float | None
    coats: int | None
    clock: Callable[..., Any]
    gates: Callable[..., Any]
    dwell: Callable[..., Any] | None

    @property
    def wiped(self) -> bool:
        """Whether what does not go in is wiped off."""
        return self.dwell is not None and self.wipe is not None

    @property
    def coldest(self) -> float:
        """Temperature below which nothing cures; absolute zero where the family names none."""
        return self.limits.get("coldest", 0.0)


@dataclass(frozen=True, kw_only=True)
class Boards:
    """How the boards take up sun and give off warmth."""

    absorptance: Sourced
    emissivity: Sourced
    shade: Array | float
    exposure: Exposure
    below: float | None
    slab: Slab
    rule: Rule

    def face(self, hours: Hours, place: Place, ledger: Ledger) -> Face:
        """Return their face in this weather."""
        return face_of(hours, place, ledger, **{name: getattr(self, name) for name in self.__dataclass_fields__})


@dataclass(frozen=True, kw_only=True)
class Resolved:
    """The weather at the boards, what the coating and the work ask of it, and the errors it may hold.

    ``other_work`` has for each kind of work but coating its model of gates, with the limits of that. ``start`` and
    ``earliest`` are counted in steps of the weather from its beginning. ``errors`` are those of a forecast, by name.
    ``shades`` and ``own_steps`` are the shade that was given, and whether the steps were. ``others`` are coatings that
    may be taken instead, with their steps.
    """

    over: Pair
    hours: Hours
    place: Place
    boards: Boards
    face: Face
    family: Family
    chance_limit: float
    steps: tuple[WorkStep, ...]
    shift: WorkShift
    earliest: float
    start: float | None
    other_work: Mapping[str, tuple[Callable[..., Any], Mapping[str, float]]]
    dry_so_far: float | None
    night_counts: bool
    errors: Mapping[str, Mapping[str, float]]
    most: int
    brief: bool
    shades: tuple[ShadeSpell, ...] = ()
    own_steps: bool = False
    others: tuple[tuple[Coating, Family, tuple[WorkStep, ...]], ...] = ()

    @property
    def sheltered(self) -> bool:
        """Whether a roof keeps rain and sun off."""
        return self.boards.exposure == "roofed"

    @property
    def by_air(self) -> bool:
        """Whether the boards need no balance of sun and sky: under a roof, as warm as the air, or measured."""
        return self.sheltered or self.boards.rule == "air" or bool(self.face.measured.all())

    @property
    def coats(self) -> list[int]:
        """Places of the coats among the steps."""
        return [place for place, step in enumerate(self.steps) if step.kind == "coat"]

    @property
    def lit(self) -> bool:
        """Whether the light on the boards is known."""
        return self.place.known or self.hours.irradiance is not None
