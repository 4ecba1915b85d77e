"""Which fasteners must be seen to before sanding? How many, how deep, how long."""

from __future__ import annotations

from latewood.calculators.fasteners.compute import compute
from latewood.calculators.fasteners.findings import find
from latewood.calculators.fasteners.inputs import Inputs
from latewood.calculators.fasteners.resolve import resolve
from latewood.calculators.fasteners.result import Result
from latewood.calculators.fasteners.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import fastening, pace, remaining
from latewood.provenance import Ledger


@calculator(
    "fasteners",
    "Fasteners before sanding",
    since="0.3",
    example={
        "zones": [{"id": "main", "fasteners": 676}],
        "species": "southern-yellow-pine",
        "fastener": "nail",
        "removal": "0.3-0.7 mm",
        "fastener_cover": "2 mm",
        "sample": {"inspected": 60, "proud": 5},
    },
    formulas=(
        fastening.heads_to_treat,
        fastening.set_depth,
        fastening.share_in_sample,
        fastening.share_half_width,
        remaining.cover_left,
        pace.time_by_count,
    ),
    costs=(Cost(0.01, 256), Cost(0.1, 4096)),
    outputs={"fasteners": "treated"},
)
def fasteners(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Count the heads to look at and those to set, and say how deep and in how many hours.

    All are looked at; only a share stands proud, taken from a sample or else a judgement. They come before any sanding:
    a proud head tears the abrasive in a moment and throws sparks into the extractor.
    """
    check(x)
    resolved = resolve(x, known, ledger)
    result = compute(resolved, ledger)
    find(x, resolved, result.cover_left, ledger)
    return result


__all__ = ["Inputs", "Result", "fasteners"]
