"""The kinds of step a plan is made of: a handle each, by which results are found with their type."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Generic, TypeVar

import msgspec

from latewood.calculators import (
    abrasive_sequence,
    area,
    condition,
    coverage,
    cure_windows,
    fasteners,
    masking,
    moisture_readiness,
    preparation,
    wash,
    wipe_cadence,
)

R = TypeVar("R", bound=msgspec.Struct)


@dataclass(frozen=True)
class Kind(Generic[R]):
    """A kind of step: its name, what its calculator answers, and that calculator's id where it is another."""

    name: str
    result: type[R]
    runs: str = ""

    @property
    def calculator(self) -> str:
        """Return the id of the calculator it runs."""
        return self.runs or self.name


AREA: Final = Kind("area", area.Result)
CONDITION: Final = Kind("condition", condition.Result)
PREPARATION: Final = Kind("preparation", preparation.Result)
WASH: Final = Kind("wash", wash.Result)
SANDING: Final = Kind("abrasive-sequence", abrasive_sequence.Result)
MASKING: Final = Kind("masking", masking.Result)
FASTENERS: Final = Kind("fasteners", fasteners.Result)
#: When wood is dry: as it is now, and as it will be once washed.
READINESS: Final = Kind("moisture-readiness", moisture_readiness.Result)
AFTER_WASH: Final = Kind("moisture-after-wash", moisture_readiness.Result, "moisture-readiness")
COVERAGE: Final = Kind("coverage", coverage.Result)
WINDOWS: Final = Kind("cure-windows", cure_windows.Result)
CADENCE: Final = Kind("wipe-cadence", wipe_cadence.Result)

#: In the order of work.
ORDER: Final = (
    *(AREA, CONDITION, PREPARATION),
    *(MASKING, WASH, FASTENERS, SANDING),
    *(READINESS, COVERAGE, WINDOWS, CADENCE),
)
