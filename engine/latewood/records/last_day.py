"""Days on which something ended, each with its source."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from latewood.provenance import Sourced
from latewood.records.fields import MISSING, At, Meaning, Reading, read_struct
from latewood.records.number import noted
from latewood.records.stated import Stated


class WrittenDay(Stated, frozen=True, kw_only=True):
    """A day as its table in the file says it."""

    value: date


@dataclass(frozen=True)
class LastDay:
    """Marks a table of last days by declared names. Each is a number: the first year that lies wholly after it."""

    doc: str
    keys: Sequence[str]

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return a mapping of `Sourced`, each with its day."""
        if not isinstance(raw, Mapping):
            return reading.wrong_type(at, raw, "a table of days")
        reading.unknown(at, [key for key in raw if key not in self.keys], self.keys)
        found = {key: self._day(raw[key], (*at, key), reading) for key in raw if key in self.keys}
        return MISSING if MISSING in found.values() or len(found) < len(raw) else found

    def _day(self, raw: Any, at: At, reading: Reading) -> Any:
        written = read_struct(WrittenDay, raw, at, reading)
        if written is MISSING:
            return MISSING
        path = "/".join((reading.path, *at))
        next_day = written.value + timedelta(days=1)
        number = Sourced(
            path=path,
            given=written.value.isoformat(),
            si=float(next_day.year + (next_day != next_day.replace(month=1, day=1))),
            unit="1",
            evidence=written.kind,
            source=written.source,
            where=written.where,
            note=written.note,
            remarks=tuple(noted(path, written.note)),
            unknown=path,
            starts=written.value,
        )
        reading.numbers[path] = number
        reading.meanings[path] = Meaning(f"{self.doc}; as a number, the first year after it", None, "")
        return number
