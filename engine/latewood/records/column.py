"""A column of numbers that one source prints together: a curve, point by point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any

import msgspec

from latewood.problems import Fault, escape
from latewood.records.fields import MISSING, At, Reading, Ref, read_struct
from latewood.records.number import N, RecordLookup


class WrittenColumn(msgspec.Struct, frozen=True, kw_only=True):
    """A column as its table in the file says it: where it is from once, then each value by its key."""

    points: Mapping[str, Any]
    source: Annotated[str, Ref("source")]
    where: str = ""
    kind: RecordLookup
    holds: str = ""
    note: str = ""


@dataclass(frozen=True)
class Column(N):
    """Marks a table of single numbers by declared names that share source, place and evidence.

    It reads like a table marked `N`, and each number has its own path, without the level ``points`` of the file.
    """

    def read(self, raw: Any, at: At, reading: Reading) -> Any:
        """Return a mapping of `Sourced`."""
        written = read_struct(WrittenColumn, raw, at, reading)
        if not isinstance(written, WrittenColumn):
            return MISSING
        shared = {name: raw[name] for name in ("source", "where", "kind", "holds", "note") if name in raw}
        each = {key: {"value": value, **shared} for key, value in written.points.items()}
        before = len(reading.faults)
        found = self._level(each, at, reading, self.keys)
        reading.faults[before:] = [_as_written(fault, at) for fault in reading.faults[before:]]
        return found


def _as_written(fault: Fault, at: At) -> Fault:
    """Return a fault of one point with the place it has in the file."""
    start = "".join(f"/{escape(key)}" for key in at)
    point = fault.pointer.removeprefix(start).removesuffix("/value")
    return msgspec.structs.replace(fault, pointer=f"{start}/points{point}")
