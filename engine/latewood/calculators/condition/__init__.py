"""May it be refinished, or what stands before that: structure, water, damage, and what is not known yet."""

from __future__ import annotations

from latewood.calculators.condition.components import components
from latewood.calculators.condition.findings import questions_open
from latewood.calculators.condition.inputs import Inputs
from latewood.calculators.condition.resolve import resolve
from latewood.calculators.condition.result import Result
from latewood.calculators.condition.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import remaining
from latewood.provenance import Ledger


@calculator(
    "condition",
    "Condition: refinish, repair or replace",
    since="0.3",
    example={
        "components": [
            {
                "id": "floor",
                "part": "boards",
                "species": "western-redcedar",
                "treatment": "none",
                "old_coating": "none",
                "signs": ["grey", "proud-fasteners"],
                "thickness": "25 mm",
                "fastener_cover": "2 mm",
                "removal": "0.2-0.4 mm",
            },
            {
                "id": "under-floor",
                "part": "frame",
                "structure": "sound",
                "treatment": "copper",
                "treatment_evidence": "end-tag",
            },
        ],
        "year_built": 2011,
        "jurisdiction": "US-NY",
    },
    formulas=(remaining.cover_left, remaining.thickness_left),
    costs=(Cost(0.01, 1024), Cost(0.1, 4096)),
)
def condition(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Say of each component whether it may be refinished, and what stands before that.

    Structure comes first: where ledger, joists, posts, guards or stairs are in doubt, nothing is planned for what they
    carry, nor for what people work on from a floor they are kept off. A wet underside is not a sanding problem. What is
    not known is asked, with what waits for the answer.
    """
    check(x)
    resolved = resolve(x, known, ledger)
    rows, asked = components(resolved, ledger)
    questions_open(asked, ledger)
    return Result(components=rows, questions=asked)


__all__ = ["Inputs", "Result", "condition"]
