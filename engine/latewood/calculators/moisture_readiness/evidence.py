"""What was measured in a zone: readings put right, their statistics, which of them overrule the model."""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from typing import Final

from latewood.calculators.moisture_readiness.correction import Read
from latewood.calculators.moisture_readiness.fields import CorrectedReading, ReadinessZone
from latewood.formulas import sampling
from latewood.provenance import Ledger, Sourced
from latewood.records import ReadingPractice
from latewood.uncertainty import spread

WHERE: Final = {
    "shade": "in the shade, where it dries last",
    "low-clearance": "where the least air gets under the boards",
    "end-grain": "near the end grain, about 300 mm from the ends",
    "typical": "in the middle of an average board",
    "sun": "in the sun",
}


@dataclass(frozen=True)
class Practice:
    """The numbers by which readings are judged; each one that is asked for stands in the basis."""

    record: ReadingPractice
    ledger: Ledger

    def take(self, number: Sourced) -> float:
        """Return a number of the record, SI."""
        return float(spread.value(self.ledger.take(number)))


@dataclass(frozen=True)
class Evidence:
    """The readings of one zone and what they amount to; moisture contents are shares."""

    reads: tuple[Read, ...]
    times: tuple[float | None, ...]
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

    @property
    def count(self) -> int:
        """How many readings count."""
        return len(self.counted)

    def latest(self) -> float | None:
        """When the last of the counted readings was taken, s from now."""
        known = [
            time for read, time in zip(self.reads, self.times, strict=True) if read in self.counted and time is not None
        ]
        return max(known, default=None)


def evidence(
    reads: list[tuple[Read, float | None]],
    last_wet: float | None,
    equilibrium: float | None,
    confidence: float,
    practice: Practice,
) -> Evidence:
    """Gather a zone's readings. ``last_wet`` is when it was last wetted, s from now; None where that is not known."""
    counted, older, overruling, rows = [], [], [], []
    ledger = practice.ledger
    latest = max((time for read, time in reads if read.usable and time is not None), default=None)
    for read, time in reads:
        why, counts = read.why, read.usable
        if counts and equilibrium is not None and read.corrected is not None:
            points = practice.take(practice.record.implausible)
            if read.value < equilibrium - points:
                counts, why = False, "drier than this weather lets wood become"
                message = (
                    f"A reading of {read.value:.1%} lies more than {100 * points:g} points below the "
                    f"{equilibrium:.1%} the wood is heading to: bad contact, a wrong species setting, or a meter on "
                    "another scale. It does not count."
                )
                ledger.find("implausibly-dry", "warning", message, pointer=f"/readings/{read.place}/reading")
        if counts and time is not None and latest is not None and _past(time, latest, practice):
            counts, why = False, "later readings of this zone took its place"
            older.append(read)
        doubts = list(read.doubts)
        if last_wet is not None and time is None:
            doubts.append("it is not known to be after the last wetting")
        elif last_wet is not None and time is not None and time <= last_wet:
            doubts.append("it was taken before the last wetting")
        overrules = counts and read.corrected is not None and not doubts
        if counts:
            counted.append(read)
        if overrules:
            overruling.append(read)
        rows.append(
            CorrectedReading(
                id=str(read.place + 1),
                zone=read.given.zone,
                reading=read.given.reading,
                corrected=read.corrected,
                usable=counts,
                overrules=overrules,
                why=why or ("; ".join(doubts) if doubts else None),
            )
        )
    beyond = any(read.at_least is not None for read in counted)
    values = [read.value for read in counted]
    mean = statistics.fmean(values) if values else None
    deviation = statistics.stdev(values) if len(values) > 1 else None
    bound = None
    if mean is not None and deviation is not None and not beyond:
        factor = sampling.student_t(confidence, len(values) - 1) / math.sqrt(len(values))
        bound = spread.value(ledger.step(sampling.upper_bound, mean=mean, deviation=deviation, factor=factor))
    return Evidence(
        reads=tuple(read for read, _ in reads),
        times=tuple(time for _, time in reads),
        counted=tuple(counted),
        older=tuple(older),
        overruling=tuple(overruling),
        rows=tuple(rows),
        mean=mean,
        deviation=deviation,
        highest=max(values, default=None),
        bound=bound,
        beyond_scale=beyond,
    )


def _past(time: float, latest: float, practice: Practice) -> bool:
    return time < latest - practice.take(practice.record.stands)


def wanted(zone: ReadinessZone, seen: Evidence, limit: float, within: float, practice: Practice) -> int:
    """Return how many readings the zone takes: a few, and near the limit as many as the scatter asks for."""
    rules = practice.record
    large = zone.mixed_age or (zone.area is not None and zone.area > practice.take(rules.large))
    start = round(practice.take(rules.some if large else rules.few))
    if seen.mean is None or seen.deviation is None or seen.beyond_scale:
        return start
    if abs(seen.mean - limit) > practice.take(rules.near):
        return start
    return max(start, sampling.readings_for(seen.deviation, within))


def where_to_read(zone: ReadinessZone, seen: Evidence, missing: int) -> tuple[str, ...]:
    """Return the places the next readings belong in, those nobody has looked at first; none where none are missing.

    Where only sunny places were read, one in the shade is missing whatever the count.
    """
    if seen.counted and all(read.given.position == "sun" for read in seen.counted):
        missing = max(missing, 1)
    taken = {read.given.position for read in seen.counted}
    places = [words for name, words in WHERE.items() if name not in taken and name != "sun"]
    if zone.mixed_age:
        places.append("on boards of each age and kind")
    return tuple((places or [WHERE["shade"]])[: max(missing, 0)])


def outliers(zone: ReadinessZone, seen: Evidence, practice: Practice) -> None:
    """Point at boards wetter than their neighbours; two readings have no middle to stand out from."""
    values = [read.value for read in seen.counted]
    if len(values) < 3:
        return
    points, times = practice.take(practice.record.outlier), practice.take(practice.record.scatter)
    middle = statistics.median(values)
    scatter = 1.4826 * statistics.median(abs(value - middle) for value in values)
    for read in seen.counted:
        if read.value - middle > max(points, times * scatter):
            message = (
                f"In zone {zone.id} a board reads {read.value:.1%} where the others are near {middle:.1%}. A wet board "
                "has a source of water: packed gaps, a planter, a downpipe, a leak, earth below. Find it first; it is "
                "not averaged away."
            )
            practice.ledger.find(
                "wet-spot", "warning", message, pointer=f"/readings/{read.place}/reading", zone=zone.id
            )


def unexplained(zone: ReadinessZone, seen: Evidence, equilibrium: float | None, practice: Practice) -> None:
    """Point at the wettest reading where it is more than weather and known wettings account for."""
    wettest = max(seen.counted, key=lambda read: read.value, default=None)
    if equilibrium is None or wettest is None:
        return
    if wettest.value <= equilibrium + practice.take(practice.record.unexplained):
        return
    message = (
        f"In zone {zone.id} a reading of {wettest.value:.1%} is more than this weather gives ({equilibrium:.1%}), and "
        "no wetting was named: wood not yet dry inside, salts of a preservative, an old coating, or water from below "
        "or behind."
    )
    practice.ledger.find(
        "implausibly-wet", "warning", message, pointer=f"/readings/{wettest.place}/reading", zone=zone.id
    )
