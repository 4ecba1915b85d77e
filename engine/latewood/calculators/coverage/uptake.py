"""How much more or less a sanded face takes up than the wood its rate holds for, and what must be said of it."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.coverage.fields import Face
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolved import ResolvedFace, quantiles
from latewood.provenance import Ledger, SIValue
from latewood.records.coating import Surface
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def uptake_of(x: Inputs, face: Face, surface: Surface) -> Number:
    """Return what a face takes up beside the usual: its own, else that of all that is sanded, else the usual."""
    if face.uptake is not None:
        return face.uptake
    return x.uptake if x.uptake is not None and surface == "sanded" else 1.0


def say_uptake(x: Inputs, settled: Sequence[ResolvedFace], ledger: Ledger) -> None:
    """Write into the basis, and say once, where coating goes further or less far than its rate states."""
    changed = [spot for spot in settled if quantiles(spot.uptake) != (1.0, 1.0, 1.0)]
    if x.uptake is not None and not any(spot.surface == "sanded" for spot in settled):
        message = "An uptake was given, and it holds for sanded wood only: none of these faces is sanded."
        ledger.find("uptake-not-counted", "warning", message, pointer="/uptake")
    for spot in changed:
        low, value, high = quantiles(spot.uptake)
        given = f"{low * 100:.3g} %" if low == high else f"{low * 100:.3g}-{high * 100:.3g} %"
        ledger.use(
            f"input/uptake/{spot.label}",
            given,
            "input",
            note="finish taken up after the last grade of sanding, beside the wood the rate holds for",
            si=SIValue(value=value, unit="1") if low == high else SIValue(value=value, low=low, high=high, unit="1"),
        )
    if not changed:
        return
    names = [f"{spot.label} {spread.value(spot.uptake):.0%}" for spot in changed]
    message = (
        "How finely a face is sanded changes how much it takes up beside wood the rate holds for: "
        f"{', '.join(dict.fromkeys(names))}. The volumes count it. What takes up less also lasts less long."
    )
    ledger.find(
        "uptake-after-sanding",
        "note",
        message,
        pointer="/uptake" if x.uptake is not None else "/faces",
        uptake={spot.label: round(spread.value(spot.uptake), 4) for spot in changed},
    )
