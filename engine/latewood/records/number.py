"""Numbers in a record: each with its unit, its source and how it is known."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Annotated, Any, Literal, get_args

import msgspec

from latewood.declare import dimension_of
from latewood.messages import Clause, Prose, clause, in_english
from latewood.problems import nearest
from latewood.provenance import Evidence, Sourced
from latewood.quantities import units
from latewood.quantities.units import UnitError
from latewood.records.fields import MISSING, At, Matching, Meaning, Reading, Ref, read_struct

#: How a record may know a number; the other two kinds of evidence arise only in a calculation.
RecordLookup = Literal[
    "published", "reported", "derived", "common-practice", "judgement", "recalled", "product-sheet", "firm"
]
assert set(get_args(RecordLookup)) == set(get_args(Evidence)) - {"input", "default"}  # noqa: S101  a slip in this file

_KEY = re.compile(r"[a-z0-9][a-z0-9-]*")


class Dated(msgspec.Struct, frozen=True):
    """A number that changed over time, oldest first."""

    entries: tuple[Sourced, ...]

    def on(self, day: date | None) -> Sourced | None:
        """Return the number in force on a day, None before the first; without a day, the newest."""
        started = [entry for entry in self.entries if day is None or (entry.starts is not None and entry.starts <= day)]
        return started[-1] if started else None


class Written(msgspec.Struct, frozen=True, kw_only=True):
    """A number as its table in the file says it. Text carries a unit; a plain number is for counts and years."""

    value: Any = None
    low: Any = None
    high: Any = None
    spread: Literal["p10-p90", "stated-range"] | None = None
    source: Annotated[str, Ref("source")]
    where: str = ""
    kind: RecordLookup
    holds: str = ""
    note: str = ""
    moves_with: Annotated[str, Matching(r"[a-z-]+/[a-z0-9-]+(/[a-z0-9_-]+)+", "the path of another number")] | None = (
        None
    )


class WrittenFrom(Written, frozen=True, kw_only=True):
    """One entry of a dated number."""

    starts: date = msgspec.field(name="from")


@dataclass(frozen=True)
class N:
    """Marks a field that holds a number, a table of numbers by declared names, or dated ones.

    ``unit`` also fixes the dimension; None is a plain number (a count, a year). ``least`` and ``most`` are in that
    unit. ``keys`` names the levels of a table from the outside in; a level of None takes any id.
    """

    unit: str | None
    doc: str
    keys: tuple[Sequence[str] | None, ...] = ()
    dated: bool = False
    whole: bool = False
    least: float = 0.0
    most: float = math.inf
    dimension: str = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "dimension", "" if self.unit is None else dimension_of(self.unit))

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return a `Sourced`, a `Dated`, or a mapping of them."""
        return self._level(raw, at, reading, self.keys)

    def _level(self, raw: Any, at: At, reading: Reading, keys: tuple[Sequence[str] | None, ...]) -> Any:
        if not keys:
            return self._dated(raw, at, reading) if self.dated else self._number(raw, at, reading)
        if not isinstance(raw, Mapping):
            return reading.wrong_type(at, raw, "a table of numbers")
        if not raw:
            return reading.fault(at, "empty", "the table holds no number", expected="at least one")
        allowed, *rest = keys
        wrong = [key for key in raw if (key not in allowed if allowed is not None else not _KEY.fullmatch(key))]
        for key in wrong:
            expected = "small letters, digits and hyphens" if allowed is None else "one of " + ", ".join(allowed)
            close = nearest(key, allowed or ())
            reading.fault((*at, key), "unknown-field", "this name is not known here", expected=expected, nearest=close)
        good = [key for key in raw if key not in wrong]
        found = {key: self._level(raw[key], (*at, key), reading, tuple(rest)) for key in good}
        return MISSING if wrong or MISSING in found.values() else found

    def _dated(self, raw: Any, at: At, reading: Reading) -> Any:
        if not isinstance(raw, list) or not raw:
            return reading.wrong_type(at, raw, "a list of entries, each with from = a date")
        found = []
        for i, entry in enumerate(raw):
            name = str(entry.get("from", i)) if isinstance(entry, Mapping) else str(i)
            found.append(self._number(entry, (*at, name), reading, dated=True))
        if MISSING in found:
            return MISSING
        starts = [number.starts for number in found]
        if len(set(starts)) < len(starts) or starts != sorted(starts):
            return reading.fault(at, "out-of-order", "the entries do not follow one another", expected="oldest first")
        return Dated(tuple(found))

    def _number(self, raw: Any, at: At, reading: Reading, *, dated: bool = False) -> Any:
        written = read_struct(WrittenFrom if dated else Written, raw, at, reading)
        if written is MISSING:
            return MISSING
        faults = len(reading.faults)
        self._check_form(written, at, reading)
        parts = {part: self._si(getattr(written, part), (*at, part), reading) for part in ("low", "value", "high")}
        if len(reading.faults) > faults:
            return MISSING
        return self._sourced(written, parts, at, reading)

    def _check_form(self, written: Written, at: At, reading: Reading) -> None:
        ranged = written.low is not None or written.high is not None
        if ranged and (written.low is None or written.high is None):
            gone = "high" if written.high is None else "low"
            reading.fault((*at, gone), "missing", "a range has both ends", expected="low and high")
        if not ranged and written.value is None:
            reading.fault((*at, "value"), "missing", "there is no number", expected="value, or low and high")
        if ranged and written.spread is None:
            expected = "p10-p90, or stated-range where the source gives no percentiles"
            reading.fault((*at, "spread"), "missing", "what the range means is not said", expected=expected)
        if not ranged and written.spread is not None:
            reading.fault((*at, "spread"), "conflict", "a single value has no spread", expected="low and high with it")

    def _si(self, raw: Any, at: At, reading: Reading) -> float | None:
        """Return one part of a number in SI; None where it is absent or at fault."""
        if raw is None:
            return None
        if self.unit is None:
            if type(raw) is not int and (self.whole or type(raw) is not float):
                reading.wrong_type(at, raw, "a whole number" if self.whole else "a plain number")
                return None
            number, least, most = float(raw), self.least, self.most
        elif not isinstance(raw, str):
            reading.wrong_type(at, raw, f"text with a unit, such as 3 {self.unit}")
            return None
        else:
            try:
                number = units.read(raw, self.dimension)
            except UnitError as error:
                reading.unread(at, error)
                return None
            least, most = (self._limit(bound) for bound in (self.least, self.most))
        if not (math.isfinite(number) and least <= number <= most):
            limits = f"{self.least:g} to {self.most:g} {self.unit or ''}".rstrip()
            reading.fault(at, "out-of-range", "the number is outside what this field takes", expected=limits)
            return None
        return number

    def _limit(self, bound: float) -> float:
        return units.read({"value": bound, "unit": self.unit}, self.dimension) if math.isfinite(bound) else bound

    def _sourced(self, written: Written, parts: Mapping[str, float | None], at: At, reading: Reading) -> Any:
        low, value, high = parts["low"], parts["value"], parts["high"]
        path = "/".join((reading.path, *at))
        # Temperatures, and anything that may be zero, cannot be lognormal.
        symmetric = low is not None and (low <= 0 or self.dimension.startswith("temperature"))
        remarks = noted(path, written.note)
        if written.holds:
            remarks.append(clause("number-holds", what=prose_at(path, "holds", written.holds)))
        if low is not None and high is not None:
            if low > high:
                return reading.fault((*at, "low"), "bad-range", "low is above high", expected="low first")
            if value is None:
                arithmetic = symmetric or self.dimension == "fraction"
                value = (low + high) / 2 if arithmetic else math.sqrt(low * high)
                remarks.append(clause("median-is-arithmetic-mean" if arithmetic else "median-is-geometric-mean"))
            elif not low <= value <= high:
                return reading.fault((*at, "value"), "bad-range", "the value is outside low to high")
            if written.spread == "stated-range":
                remarks.append(clause("range-is-percentiles"))
        assert value is not None  # noqa: S101  _check_form saw to it
        number = Sourced(
            path=path,
            given=_words(written),
            si=value,
            low=low,
            high=high,
            unit="1" if self.unit is None else units.DIMENSIONS[self.dimension].si,
            evidence=written.kind,
            source=written.source,
            where=written.where,
            note="; ".join(in_english(one) for one in remarks),
            remarks=tuple(remarks),
            unknown=written.moves_with or path,
            symmetric=symmetric,
            starts=written.starts if isinstance(written, WrittenFrom) else None,
        )
        reading.numbers[path] = number
        reading.meanings[path] = Meaning(self.doc, self.unit, self.dimension)
        return number


def noted(path: str, note: str) -> list[Clause]:
    """Return what a record notes of a number of this path, where it notes anything."""
    return [clause("as-recorded", text=prose_at(path, "note", note))] if note else []


def prose_at(path: str, field: str, text: str) -> Prose:
    """Return a text beside a number of this path."""
    kind, id, at = path.split("/", 2)
    return Prose(kind, id, f"{at}/{field}", text)


def _words(written: Written) -> str:
    """Return a number as the file gives it: ``250-400 ft2/us_gal``, ``20 % (10-35 %)``."""
    if written.low is None:
        return str(written.value)
    low, high = str(written.low), str(written.high)
    low_number, _, low_unit = low.partition(" ")
    high_number, _, high_unit = high.partition(" ")
    # A hyphen before a minus sign cannot be read back.
    dash = " to " if "-" in low_number + high_number else "-"
    ends = f"{low_number}{dash}{high_number} {high_unit}".rstrip() if low_unit == high_unit else f"{low} to {high}"
    return ends if written.value is None else f"{written.value} ({ends})"
