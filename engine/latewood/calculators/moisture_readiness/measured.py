"""What was measured in a zone, readings put right, and what the model of drying says of it."""

from __future__ import annotations

from dataclasses import dataclass, field

from latewood.calculators.moisture_readiness.resolved import Reading
from latewood.calculators.moisture_readiness.result import CorrectedReading, CurvePoint
from latewood.messages import Clause
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


@dataclass(frozen=True)
class Read:
    """One reading: corrected, or out of the meter's range on one side, or of no use."""

    reading: Reading
    corrected: Number | None
    #: At least so much, where the meter's scale ends below the wood.
    at_least: float | None
    why: Clause | None
    doubts: tuple[Clause, ...]

    @property
    def usable(self) -> bool:
        """Whether it counts, as a number or as being above the scale."""
        return self.corrected is not None or self.at_least is not None

    @property
    def value(self) -> float:
        """The corrected moisture content, or the end of the scale it lies above."""
        return spread.value(self.corrected) if self.corrected is not None else float(self.at_least or 0.0)


@dataclass(frozen=True)
class Evidence:
    """The readings of one zone and what they amount to; moisture contents are shares."""

    counted: tuple[Read, ...]
    #: Sound ones too, but later readings took their place.
    older: tuple[Read, ...]
    overruling: tuple[Read, ...]
    rows: tuple[CorrectedReading, ...]
    mean: float | None
    deviation: float | None
    highest: float | None
    bound: float | None
    beyond_scale: bool
    #: Whether water was seen on a board that was read.
    surface_wet: bool

    @property
    def count(self) -> int:
        """How many readings count."""
        return len(self.counted)

    @property
    def only_sun(self) -> bool:
        """Whether those that count were all taken in the sun."""
        return bool(self.counted) and all(read.reading.given.position == "sun" for read in self.counted)


def latest(reads: tuple[Read, ...]) -> float | None:
    """Return when the last of these readings was taken, s from now."""
    return max((read.reading.at for read in reads if read.reading.at is not None), default=None)


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """What the model says of a zone."""

    now: Number | None = None
    wait: Number | None = None
    shallow: Number | None = None
    deep: Number | None = None
    curve: tuple[CurvePoint, ...] = ()
    depth: float | None = None
    #: Whether by the model a film of water still lies on the boards.
    film: bool = False
    #: Whether the slowest of the cases is not there in 60 days.
    open_ended: bool = False
    #: Time from the last wetting on until the limit is kept (s), wetted shallow and deep.
    takes: dict[str, float] = field(default_factory=dict)
