"""Whether boards are weathered: old boards are, unless it is said otherwise. One rule for all who ask."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any, Literal

from latewood.declare import F, Q, RecordLookup
from latewood.messages import Clause, clause
from latewood.provenance import Ledger, Number
from latewood.records import ConditionRule
from latewood.records.coating import Surface
from latewood.rules.signs import FILM, GROWTH, Beading, Sign
from latewood.rules.surface_layers import Covering, layer_seen
from latewood.uncertainty import spread

#: The question, as every calculator asks it.
Weathered = Annotated[
    bool, F("Whether the boards are weathered and checked; yes if left out, unless they are new or their coat is sound")
]
WoodAge = Annotated[float, Q("d", "Time since the wood was built in", ge=0, le=36500, example="20 d")]

#: How a verdict is known: said outright, seen on the boards, followed from something said, or taken in silence.
Ground = Literal["said", "seen", "follows", "default"]


@dataclass(frozen=True)
class Told:
    """What is said that bears on it. ``surface`` is what the boards are like when they are coated."""

    weathered: bool | None = None
    signs: Iterable[Sign] = ()
    beading: Beading | None = None
    surface: Surface | None = None
    year_built: int | None = None
    as_of: date | None = None
    age: float | None = None


@dataclass(frozen=True)
class Weathering:
    """Whether boards are weathered, how that is known, and why."""

    weathered: bool
    ground: Ground
    why: Clause

    @property
    def said(self) -> bool | None:
        """What to hand on to a calculator; None where nothing was said, so that it says so itself."""
        return None if self.ground == "default" else self.weathered

    def note(
        self,
        ledger: Ledger,
        effect: float | None = None,
        *,
        output: str = "",
        by: Callable[[Any], Number | None] | None = None,
    ) -> None:
        """Write it into the basis: a default with its effect on an output, or what it follows from."""
        if self.ground == "default":
            others = (False,) if output else ()
            ledger.default("weathered", "yes", effect=effect, others=others, by=by, output=output, why=self.why)
        elif self.ground != "said":
            ledger.use("input/weathered", "yes" if self.weathered else "no", "input", note=self.why)


def weathering(told: Told, known: RecordLookup, ledger: Ledger) -> Weathering:
    """Return whether boards are weathered. What is seen on them counts before what would follow from their age."""
    signs = frozenset(told.signs)
    if seen_weathered(signs):
        return Weathering(True, "seen", clause("weathering-seen"))
    if told.weathered is not None:
        return Weathering(told.weathered, "said", clause("weathering-said"))
    if "film-peeling" in signs or told.beading == "soaks-in" or told.surface == "weathered":
        return Weathering(True, "follows", clause("coat-lets-water-in"))
    if "film-sound" in signs or told.beading in ("beads", "in-part"):
        return Weathering(False, "follows", clause("coat-keeps-water-out"))
    if is_new(told, known, ledger):
        return Weathering(False, "follows", clause("wood-is-new"))
    if told.surface == "planed":
        return Weathering(False, "follows", clause("still-planed"))
    return Weathering(True, "default", clause("weathered-unless-told"))


def seen_weathered(signs: Iterable[Sign]) -> bool:
    """Say whether signs speak of weathered wood; growth may lie on a sound coat."""
    return layer_seen(frozenset(signs) - FILM - GROWTH) is not None


def shows_grey(covering: Covering, found: Weathering, signs: Iterable[Sign]) -> bool:
    """Say whether there is grey to take off: weathered wood that no film hides, or what is seen beside one."""
    return found.weathered if covering != "film" else seen_weathered(signs)


def is_new(told: Told, known: RecordLookup, ledger: Ledger) -> bool:
    """Say whether wood is too young to have greyed: built in the year of the answer, or younger than greying takes."""
    if told.age is not None:
        rule: ConditionRule = known.record("condition-rule", "usual")
        return told.age < spread.low(ledger.take(rule.blending))
    return told.year_built is not None and told.as_of is not None and told.year_built >= told.as_of.year


def told_by(x: Any, **more: Any) -> Told:
    """Return what inputs say of it, by the names they share; ``more`` is what they call by another."""
    names = ("weathered", "signs", "beading", "surface", "year_built", "as_of")
    return Told(**{name: getattr(x, name) for name in names if hasattr(x, name)} | more)
