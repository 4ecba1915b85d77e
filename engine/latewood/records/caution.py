"""Dangers an answer must carry whenever the facts call for them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, get_args

import msgspec

from latewood.problems import nearest
from latewood.provenance import Danger, Shown
from latewood.records.base import Material, Record, Treatment
from latewood.records.coating import Binder
from latewood.records.fields import MISSING, At, Reading, Ref

_SURE = ("yes", "suspected", "no")
_FLAG = (True, False)

#: Facts a caution may ask for, with the values they take; None is a number in SI, to be asked for with bounds.
FACTS: Mapping[str, tuple[str | bool, ...] | None] = {
    "binder": get_args(Binder),
    "film": _FLAG,
    "wiped": _FLAG,
    "material": get_args(Material),
    "treatment": get_args(Treatment),
    "arsenical": _SURE,
    "lead_paint": _SURE,
    "year_built": None,
    "washing": _FLAG,
    "structure": ("sound", "doubt"),
    "sensitiser": _SURE,
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
        if allowed is None:
            return self._bounds(raw, at, reading)
        words = raw if isinstance(raw, list) else [raw]
        one_of = "one or a list of " + ", ".join(_spelt(word) for word in allowed)
        if not words:
            return reading.fault(at, "empty", "the list is empty", expected=one_of)
        wrong = [word for word in words if not any(type(word) is type(known) and word == known for known in allowed)]
        for word in wrong:
            close = nearest(str(word), [known for known in allowed if isinstance(known, str)])
            reading.fault(at, "unknown-choice", f"{word!r} is not known here", expected=one_of, nearest=close)
        return MISSING if wrong else tuple(words)

    def _bounds(self, raw: Any, at: At, reading: Reading) -> Any:
        if not isinstance(raw, Mapping) or not raw:
            return reading.wrong_type(at, raw, "{ below = … } or { at_least = … }, or both")
        names = Bounds.__struct_fields__
        wrong = [name for name in raw if name not in names]
        reading.unknown(at, wrong, names)
        for name in set(raw) - set(wrong):
            if isinstance(raw[name], bool) or not isinstance(raw[name], int | float):
                wrong.append(name)
                reading.wrong_type((*at, name), raw[name], "a plain number in SI")
        return MISSING if wrong else Bounds(**raw)


class Caution(Record, frozen=True, kw_only=True):
    """A danger, the facts that call for it, and what to do. It never replaces local rules or licensed practice."""

    KIND: ClassVar[str] = "caution"

    severity: Danger
    message: str
    do: Annotated[tuple[str, ...], "What to do, most urgent first"]
    source: Annotated[str, Ref("source")]
    where: str = ""
    see_also: Annotated[tuple[Annotated[str, Ref("source")], ...], "Further sources"] = ()
    when: Annotated[Mapping[str, Condition], When(), "Facts that must all hold"]

    def holds(self, facts: Mapping[str, Any]) -> bool:
        """Say whether the facts call for it; a fact nobody stated does not."""
        return all(name in facts and _met(condition, facts[name]) for name, condition in self.when.items())

    def show(self, applies_to: tuple[str, ...]) -> Shown:
        """Return it as an answer carries it."""
        return Shown(
            id=self.id,
            severity=self.severity,
            message=self.message,
            do=self.do,
            source=self.source,
            applies_to=applies_to,
        )


def _met(condition: Condition, fact: Any) -> bool:
    return condition.hold(fact) if isinstance(condition, Bounds) else fact in condition


def _spelt(word: str | bool) -> str:
    return word if isinstance(word, str) else str(word).lower()
