"""How many heads stand proud, and the hours of one zone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from latewood import spread
from latewood.calculators._fasteners.fields import FastenerZone
from latewood.formulas import fastening, pace
from latewood.provenance import Ledger, SIValue
from latewood.records import FastenerPractice
from latewood.spread import Number

if TYPE_CHECKING:
    from latewood.calculators.fasteners import Inputs

#: Smallest sample that narrows what is not known; below it the share says little. Judgement.
SMALL_SAMPLE: Final = 30


class ZoneWork:
    """Heads and hours of one zone."""

    def __init__(
        self,
        zone: FastenerZone,
        share: Number,
        stuck: float,
        loose: Number,
        rates: dict[str, Number],
        treat: str,
        ledger: Ledger,
    ) -> None:
        count = float(zone.fasteners)
        self.treated = ledger.step(fastening.heads_to_treat, zone.id, fasteners=count, share_proud=share)
        self.replaced = self.treated * (stuck + (1 - stuck) * loose)
        self.looking = ledger.step(pace.time_by_count, f"{zone.id}, look", count=count, pace=rates["inspect"])
        moved = self.treated * (1 - stuck)
        self.setting = ledger.step(pace.time_by_count, f"{zone.id}, {treat}", count=moved, pace=rates[treat])
        self.replacing = ledger.step(
            pace.time_by_count, f"{zone.id}, replace", count=self.replaced, pace=rates["replace"]
        )

    def times(self, *, look: bool) -> list[Number]:
        """Return the hours of the zone, one by one."""
        return [*([self.looking] if look else []), self.setting, self.replacing]


def share_proud(x: Inputs, heads: int, practice: FastenerPractice, ledger: Ledger) -> Number:
    """Return the share that stands proud: as given, from a sample, or the practice's judgement."""
    if x.share_proud is not None:
        return x.share_proud
    if x.sample is None:
        share = ledger.take(practice.share_proud)
        effect = (spread.high(share) / spread.value(share)) - 1
        why = "a judgement; look at some sixty heads all over the floor and count"
        ledger.default("share_proud", practice.share_proud.given, effect=effect, why=why)
        return share
    if x.sample.inspected > heads:
        message = (
            f"{x.sample.inspected} heads were looked at, and there are {heads}: either number is of another floor."
        )
        ledger.find("sample-of-more", "warning", message, pointer="/sample/inspected", fasteners=heads)
    elif x.sample.inspected == heads:
        # Nothing is left to be guessed.
        given = f"{x.sample.proud} of {heads}"
        share = x.sample.proud / heads
        ledger.use("input/sample", given, "input", note="every head was looked at", si=SIValue(value=share, unit="1"))
        return share
    numbers = {"found": float(x.sample.proud), "inspected": float(x.sample.inspected)}
    middle = spread.central(ledger.step(fastening.share_in_sample, "sample", **numbers))
    half = spread.central(ledger.step(fastening.share_half_width, "sample", **numbers))
    low, high = max(middle - half, 0.0), min(middle + half, 1.0)
    ledger.use(
        "input/sample",
        f"{x.sample.proud} of {x.sample.inspected}",
        "input",
        note="read as the score interval that holds the share eight times in ten",
        si=SIValue(value=middle, low=low, high=high, unit="1"),
    )
    if x.sample.inspected < min(SMALL_SAMPLE, heads):
        count = "1 head says" if x.sample.inspected == 1 else f"{x.sample.inspected} heads say"
        message = f"{count} little of the whole floor; look at {min(SMALL_SAMPLE, heads)} or more, all over it."
        ledger.find("small-sample", "note", message, pointer="/sample/inspected")
    return spread.normal("input/sample", low, middle, high, lowest=0.0, highest=1.0)
