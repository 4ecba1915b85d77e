"""How many cloths, and the duty not to let them catch fire."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from latewood import spread
from latewood.calculators._wipe_cadence.fields import ClothDuty
from latewood.calculators._wipe_cadence.settle import Settled
from latewood.declare import Known
from latewood.formulas import cadence
from latewood.provenance import Ledger

if TYPE_CHECKING:
    from latewood.calculators.wipe_cadence import Inputs

#: The caution that says whether waste of a binder heats itself.
SELF_HEATING: Final = "self-heating-waste"


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


def duties(x: Inputs, wanted: int, most: int, bands: int, known: Known) -> Iterator[ClothDuty]:
    """Yield what must be done with the cloths: of any coating that holds oil, or may."""
    caution = known.records("caution").get(SELF_HEATING)
    if caution is None or not caution.holds({"binder": x.coating.binder}):
        yield ClothDuty(
            id="after", message=f"About {wanted} cloths, up to {most}: spread them to dry, or dispose of them damp."
        )
        return
    yield ClothDuty(
        id="before",
        message="Before the first stroke: a metal can with a tight lid, filled with water, where the work is done, "
        f"with room for {most} cloths, and {most} clean cloths at hand.",
    )
    every = f"after each of the {bands} bands" if bands > 1 else "when the band is wiped"
    yield ClothDuty(
        id="each-band",
        message=f"A cloth goes into the can as soon as it is set down, and every cloth {every}: none lies in a heap.",
    )
    yield ClothDuty(
        id="end-of-day",
        message=f"At the end of the day: count the cloths, about {wanted}, close the lid, and have the can emptied as "
        "the local waste rules say. Nothing of it stays overnight in a bin, a bag or a vehicle.",
    )
