"""Each grade named in every system by its size."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from latewood.calculators.abrasive_sequence.result import GradeSize
from latewood.formulas.grain import nearest_grade, size_distance
from latewood.provenance import Ledger
from latewood.rules.sanding_work.abrasive_grades import Ladder

#: Largest step of one grade on the ladder from P16 to P220; what is further away is no equivalent.
STEP: Final = 1.34


def grade_sizes(ids: Sequence[str], ladder: Ladder, ledger: Ledger) -> tuple[GradeSize, ...]:
    """Return each grade with the nearest of every system: through its size, never through its number."""
    ladder.take(ids, ledger)
    by_system = {
        system: {id: ladder.sizes[id] for id, other in ladder.systems.items() if other == system}
        for system in ("fepa-p", "cami", "jis")
    }
    rows = []
    for id in sorted(dict.fromkeys(ids), key=lambda id: (-ladder.sizes[id], id)):
        nearest = {system: _near(ladder.sizes[id], rungs) for system, rungs in by_system.items()}
        # A grade is always nearest to itself, though one of another name may have the very same size.
        nearest |= {ladder.systems[id]: id} if ladder.systems[id] in nearest else {}
        rows.append(
            GradeSize(
                id=id,
                system=ladder.systems[id],  # type: ignore[arg-type]  # read from records, or "other"
                grain_size=ladder.sizes[id],
                fepa_p=nearest["fepa-p"],
                cami=nearest["cami"],
                jis=nearest["jis"],
            )
        )
    return tuple(rows)


def _near(size: float, rungs: dict[str, float]) -> str | None:
    """Return the nearest grade of a system; None where even that is more than a step of the ladder away."""
    found = nearest_grade(size, rungs)
    return found if math.exp(size_distance(size=size, other=rungs[found])) <= STEP else None
