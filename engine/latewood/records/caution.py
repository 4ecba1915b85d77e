"""Dangers an answer must carry whenever the facts call for them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Final, get_args

import msgspec

from latewood.declare import dimension_of
from latewood.problems import Fault, nearest
from latewood.provenance import Danger, Shown
from latewood.quantities import units
from latewood.quantities.units import UnitError
from latewood.records.base import Material, Record, Treatment
from latewood.records.coating import Binder
from latewood.records.fields import MISSING, At, Reading, Ref

_SURE = ("yes", "suspected", "no")
_FLAG = (True, False)


@dataclass(frozen=True)
class Measured:
    """A fact that is a quantity, to be asked for with bounds in words with a unit; without one it is a plain number."""

    unit: str | None = None


#: Lines of what a page always shows of a caution, and characters of each.
BRIEF_LINES: Final = 2
BRIEF_LENGTH: Final = 90

#: Facts a caution may ask for, with the values they take.
FACTS: Mapping[str, tuple[str | bool, ...] | Measured] = {
    "binder": get_args(Binder),
    "film": _FLAG,
    "wiped": _FLAG,
    "material": get_args(Material),
    "treatment": get_args(Treatment),
    "arsenical": _SURE,
    "lead_paint": _SURE,
    "year_built": Measured(),
    "washing": _FLAG,
    "structure": ("sound", "doubt"),
    "sensitiser": _SURE,
    "film_comes_off": _FLAG,
    "stripper": ("likely", "chemical", "dichloromethane"),
    "bleach_and_peroxide": _FLAG,
    "powered_sanding": _FLAG,
    "proud_steel": _FLAG,
    "vibration": Measured("m/s2"),
    "mains": ("dry", "wet"),
    "heat_index": Measured("degC"),
    "after_dark": _FLAG,
    "edge": ("guarded", "unsaid", "open"),
    "spray": ("clear", "unsaid", "over-water", "at-neighbours"),
}


class Bounds(msgspec.Struct, frozen=True, kw_only=True):
    """A number below one bound, at least another, or both."""

    below: float | None = None
    at_least: float | None = None

    def hold(self, number: Any) -> bool:
        """Say whether the number is within."""
        if isinstance(number, bool) or not isinstance(number, int | float):
            return False
        above = self.at_least is None or number >= self.at_least
        return above and (self.below is None or number < self.below)


Condition = tuple[str | bool, ...] | Bounds


@dataclass(frozen=True)
class When:
    """Reads the table of facts that must all hold."""

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return the condition on each fact."""
        if not isinstance(raw, Mapping) or not raw:
            return reading.wrong_type(at, raw, "a table of at least one fact and the values it must have")
        reading.unknown(at, [name for name in raw if name not in FACTS], FACTS)
        found = {name: self._condition(raw[name], (*at, name), reading) for name in raw if name in FACTS}
        return MISSING if MISSING in found.values() or len(found) < len(raw) else found

    def _condition(self, raw: Any, at: At, reading: Reading) -> Any:
        allowed = FACTS[at[-1]]
        if isinstance(allowed, Measured):
            return self._bounds(allowed, raw, at, reading)
        words = raw if isinstance(raw, list) else [raw]
        one_of = "one or a list of " + ", ".join(_spelt(word) for word in allowed)
        if not words:
            return reading.fault(at, "empty", "the list is empty", expected=one_of)
        wrong = [word for word in words if not any(type(word) is type(known) and word == known for known in allowed)]
        for word in wrong:
            close = nearest(str(word), [known for known in allowed if isinstance(known, str)])
            reading.fault(at, "unknown-choice", f"{word!r} is not known here", expected=one_of, nearest=close)
        return MISSING if wrong else tuple(words)

    def _bounds(self, fact: Measured, raw: Any, at: At, reading: Reading) -> Any:
        if not isinstance(raw, Mapping) or not raw:
            return reading.wrong_type(at, raw, "{ below = … } or { at_least = … }, or both")
        names = Bounds.__struct_fields__
        reading.unknown(at, [name for name in raw if name not in names], names)
        found = {name: _bound(fact, raw[name], (*at, name), reading) for name in raw if name in names}
        return MISSING if MISSING in found.values() or len(found) < len(raw) else Bounds(**found)


def _bound(fact: Measured, raw: Any, at: At, reading: Reading) -> Any:
    """Return a bound in SI."""
    if fact.unit is None:
        plain = isinstance(raw, int | float) and not isinstance(raw, bool)
        return float(raw) if plain else reading.wrong_type(at, raw, "a plain number")
    if not isinstance(raw, str):
        return reading.wrong_type(at, raw, f"text with a unit, such as 3 {fact.unit}")
    try:
        return units.read(raw, dimension_of(fact.unit))
    except UnitError as error:
        return reading.unread(at, error)


class Caution(Record, frozen=True, kw_only=True):
    """A danger, the facts that call for it, and what to do. It never replaces local rules or licensed practice."""

    KIND: ClassVar[str] = "caution"

    severity: Danger
    rank: Annotated[
        int, "Place among cautions of one severity, the worst first: what kills at once, then lasting harm"
    ] = 1000
    message: str
    brief: Annotated[tuple[str, ...], "What to do at the least, most protective line first: one or two lines"]
    do: Annotated[tuple[str, ...], "What to do, most urgent first"]
    source: Annotated[str, Ref("source")]
    where: str = ""
    see_also: Annotated[tuple[Annotated[str, Ref("source")], ...], "Further sources"] = ()
    when: Annotated[Mapping[str, Condition], When(), "Facts that must all hold"]
    danger_when: Annotated[Mapping[str, Condition], When(), "Further facts that, all of them, make it a danger"] = {}

    def conflicts(self) -> Iterator[Fault]:
        """See to it that it is brief, and that there is something left to make worse."""
        if not 1 <= len(self.brief) <= BRIEF_LINES:
            expected = f"one to {BRIEF_LINES} lines"
            yield Fault(pointer="/brief", code="bad-length", detail=f"there are {len(self.brief)}", expected=expected)
        for place, line in enumerate(self.brief):
            if len(line) > BRIEF_LENGTH:
                yield Fault(
                    pointer=f"/brief/{place}",
                    code="too-long",
                    detail=f"it has {len(line)} characters",
                    expected=f"{BRIEF_LENGTH} at most",
                )
        if self.danger_when and self.severity == "danger":
            detail = "it is a danger whatever else holds"
            yield Fault(
                pointer="/danger_when", code="conflict", detail=detail, expected="severity warning, or no table"
            )

    def holds(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it; a fact that was not stated does not."""
        return _all_met(self.when, facts)

    def graver(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it and make it a danger."""
        return bool(self.danger_when) and self.holds(facts) and _all_met(self.danger_when, facts)

    def show(self, places: tuple[str, ...], *, graver: bool = False) -> Shown:
        """Return it as an answer carries it."""
        return Shown(
            id=self.id,
            severity="danger" if graver else self.severity,
            title=self.title,
            rank=self.rank,
            message=self.message,
            brief=self.brief,
            do=self.do,
            source=self.source,
            places=places,
        )


def _all_met(conditions: Mapping[str, Condition], facts: Mapping[str, Any]) -> bool:
    stated = conditions.keys() <= facts.keys()
    return stated and all(_met(condition, facts[name]) for name, condition in conditions.items())


def _met(condition: Condition, fact: Any) -> bool:
    return condition.hold(fact) if isinstance(condition, Bounds) else fact in condition


def _spelt(word: str | bool) -> str:
    return word if isinstance(word, str) else str(word).lower()
