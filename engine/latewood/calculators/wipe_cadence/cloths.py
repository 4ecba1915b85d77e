"""How many cloths, and the duty not to let them catch fire."""

from __future__ import annotations

import math
from collections.abc import Iterator

from latewood.calculators.wipe_cadence.defaults import Settled
from latewood.calculators.wipe_cadence.fields import ClothDuty
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.formulas import cadence
from latewood.provenance import Ledger
from latewood.rules.waste import WasteRow
from latewood.uncertainty import spread


def cloths(x: Inputs, settled: Settled, area: float, ledger: Ledger) -> tuple[int, int]:
    """Return how many cloths, and how many suffice nine times in ten: by what is laid on, else by the area."""
    regime = settled.regime
    if x.applied is not None:
        wanted = ledger.step(cadence.cloths_by_volume, applied=x.applied, cloth_volume=ledger.take(regime.cloth_volume))
    else:
        wanted = ledger.step(cadence.cloths_by_area, area=area, cloth_area=ledger.take(regime.cloth_area))
    # Everybody who wipes begins with a cloth of their own.
    least = settled.setting.crew.wiping
    return max(math.ceil(spread.value(wanted) - 1e-9), least), max(math.ceil(spread.high(wanted) - 1e-9), least)


def duties(left: WasteRow, oil: bool, wanted: int, most: int, bands: int) -> Iterator[ClothDuty]:
    """Yield what must be done with the cloths: of any coating that holds oil, or may."""
    end = " ".join(left.ending)
    if not oil:
        yield ClothDuty(id="after", message=f"About {wanted} cloths, up to {most}. {end}")
        return
    yield ClothDuty(
        id="before",
        message="Before the first stroke: a metal can with a tight lid, filled with water, where the work is done, "
        f"with room for {most} cloths, and {most} clean cloths at hand.",
    )
    every = f"after each of the {bands} bands" if bands > 1 else "when the band is wiped"
    yield ClothDuty(
        id="each-band",
        message=f"Put a cloth into the can as soon as you set it down, and every cloth {every}: none lies in a heap.",
    )
    yield ClothDuty(id="end-of-day", message=f"At the end of the day: count the cloths, about {wanted}. {end}")
