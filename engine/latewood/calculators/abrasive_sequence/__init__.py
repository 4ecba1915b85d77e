"""Which grades does each part of a deck need, in what order? Passes, abrasive, hours and dust."""

from __future__ import annotations

from latewood.calculators.abrasive_sequence import facts, findings
from latewood.calculators.abrasive_sequence.compute.gaps import gap_work
from latewood.calculators.abrasive_sequence.compute.grades import grade_sizes
from latewood.calculators.abrasive_sequence.compute.sequences import rows, sequences
from latewood.calculators.abrasive_sequence.compute.totals import abrasive_counts, deepest, floors, vibration
from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolve import grade_ids, resolve
from latewood.calculators.abrasive_sequence.resolve.gaps import gaps_of
from latewood.calculators.abrasive_sequence.resolve.waste import dust_left
from latewood.calculators.abrasive_sequence.result import Result
from latewood.calculators.abrasive_sequence.validation import check
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import exposure, grain, removal, wear
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger
from latewood.rules.sanding_work.abrasive_grades import named
from latewood.rules.sanding_work.floor_work import FORMULAS, total_of, vacuum_time


@calculator(
    "abrasive-sequence",
    "Grades, passes, abrasive and dust",
    since="0.3",
    example={
        "faces": [
            {"zone": "main", "part": "field", "area": "32 m2"},
            {"zone": "main", "part": "perimeter", "area": "2.3 m2", "length": "18.7 m"},
            {"zone": "main", "part": "gap-faces", "area": "13 m2", "length": "250 m"},
            {"zone": "main", "part": "stair", "item": "steps", "area": "3.2 m2", "count": 4},
            {"zone": "main", "part": "guard", "item": "south", "area": "8 m2"},
        ],
        "species": "southern-yellow-pine",
        "coating": "semi-transparent-oil-stain",
        "condition": "raised-grain",
        "treatment": "copper",
        "treatment_evidence": "end-tag",
        "gap_treatment": "ease-edges",
    },
    formulas=(
        grain.size_ratio,
        *FORMULAS,
        removal.relative_uptake,
        removal.relative_life,
        wear.disc_time,
        wear.cut_after,
        wear.removed_until,
        wear.mean_cut,
        exposure.daily_vibration,
        waste_formulas.volume_of_mass,
    ),
    costs=(Cost(0.1, 2048),),
    outputs={
        "abrasive-sequence": "time",
        "gap-work": "gap_time",
        "gap-cleaning": "gap_cleaning_time",
    },
)
def abrasive_sequence(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Find the fewest grades from the first to the last, with steps small enough, for each part of a deck.

    A patch on the deck overrules the table of first grades and the model of what a pass takes off. The last grade goes
    by what is put on: too fine, and less of it goes in and lasts. Grades are compared by the size of their grain, never
    by their number. The aim is sound wood, not a flat floor.
    """
    check(x, grade_ids(known))
    r = resolve(x, known, ledger)
    method = r.method
    done = sequences(r, ledger)
    findings.find(x, r, done, ledger)
    works = [(one.face, one.made) for one in done if one.made is not None]
    grades = [*(id for one in done for id in one.grades), *(named(item) for item in x.stock)]
    sizes = grade_sizes(grades, method.ladder, ledger)
    protocol = findings.protocol(method.practice, done, ledger)
    gaps = tuple(gap_work(one, method, ledger) for one in gaps_of(x, method, known, ledger))
    dust = total_of([made.dust_mass for _, made in works])
    vacuum, shaken = vacuum_time(works, method, ledger), vibration(works, ledger)
    facts.state(x, r, works, shaken, ledger)
    return Result(
        rows=rows(done),
        grades=sizes,
        abrasives=abrasive_counts(works, method.ladder, r.confidence),
        protocol=protocol,
        gaps=gaps,
        removal=deepest(works),
        floors=floors(r.faces, works, method, r.confidence),
        time=total_of([made.time for _, made in works]),
        vacuum_time=vacuum,
        dust_mass=dust,
        vibration_exposure=shaken,
        waste=dust_left(x, r, [face for face, _ in works], dust, known, ledger),
    )


__all__ = ["Inputs", "Result", "abrasive_sequence"]
